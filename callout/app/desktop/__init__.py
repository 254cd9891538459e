"""Callout on the desktop: shortcuts, command completion, and the places of its data."""
