"""The list scheduler: a quick rule of thumb that gives a complete, rule-keeping plan by itself."""
