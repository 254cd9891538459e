"""Packs of lists on disk: made, read without trusting them, added."""
