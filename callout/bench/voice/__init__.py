"""Measurements of the built-in voice."""
