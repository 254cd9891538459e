"""Measurements of what is told about people."""
