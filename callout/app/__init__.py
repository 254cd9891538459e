"""Wiring of core and adapters."""
