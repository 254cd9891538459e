"""Turns what is on somebody's card into a draft with its open doubts."""
