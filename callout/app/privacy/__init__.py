"""Forgetting people, and journals without names."""
