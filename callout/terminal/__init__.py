"""The terminal view."""
