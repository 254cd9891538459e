"""Decides what the words heard mean at an item."""
