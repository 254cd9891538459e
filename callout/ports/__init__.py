"""Protocols between the core and the world."""
