"""Turns a list and a flight into what is asked."""
