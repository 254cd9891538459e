"""Weighs several readings of a page against one another."""
