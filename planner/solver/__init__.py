"""The constraint model: the only package that imports OR-Tools.

timeline -> linear -> staircases -> rules -> goals -> model -> solve; each imports only what stands
before it. Everything is decided by cumulative counts ("staircases"), so every rule is linear.
"""
