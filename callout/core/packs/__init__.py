"""Packs of lists: what a pack states, and how two packs differ."""
