"""Tests of the causes of shortfalls."""
