"""Protocols between the core and the outside world."""
