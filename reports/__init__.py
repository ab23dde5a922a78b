"""Talks: the command line and the tables a maker reads. Imports planner, never the other way."""
