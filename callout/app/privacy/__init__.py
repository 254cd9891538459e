"""Forgets people, and copies journals without names."""
