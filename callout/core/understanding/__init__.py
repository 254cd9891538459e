"""Decides what the words heard are at an item."""
