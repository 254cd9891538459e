"""Measurements of what the aircraft tells."""
