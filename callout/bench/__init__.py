"""Measuring what was built."""
