"""The workshop's tables: their columns, rows, and CSV files in and out."""
