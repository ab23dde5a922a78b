"""Rows into records: each row by itself, in whole numbers and day numbers.

What a row needs from other rows it looks up; a name that is not there gives no record. Whether
the records fit together is the business of `planner.checks`.
"""
