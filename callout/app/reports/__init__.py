"""Debriefs, trends, collections and sign-offs out of folders of journals."""
