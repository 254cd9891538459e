"""Runs lists, flights and drills."""
