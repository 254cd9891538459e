"""Chooses and opens what hears, and tries it."""
