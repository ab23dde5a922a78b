"""Tests of the workshop file."""
