"""Annealing: a search for plans that lose less, compiled to machine code.

It places batches as the list scheduler does, some thirty times as often in the same time, and lets
that one judge what is found.

annealed  workshop -> better and better plans, told on the way
"""

from planner.anneal.search import annealed

__all__ = ["annealed"]
