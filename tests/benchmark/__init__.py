"""A benchmark of the planner against other ways to plan: python -m tests.benchmark

It measures time and memory, so it is no test and pytest does not collect it.
"""
