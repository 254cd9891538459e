"""Measurements of the aircraft's reported state."""
