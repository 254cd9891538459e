"""Checks, repairs, imports and exports lists."""
