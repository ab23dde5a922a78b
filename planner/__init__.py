"""Decides what a small bar workshop buys, pours and packs, and when; knows nothing of screens."""
