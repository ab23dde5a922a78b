"""Tests of the planner and its reports."""
