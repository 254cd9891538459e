"""Debriefs, trends, collections and sign-offs from folders of journals."""
