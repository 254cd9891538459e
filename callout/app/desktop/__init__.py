"""Callout on the desktop: shortcuts, command completion, and where its data are."""
