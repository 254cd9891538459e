"""Hearing: audio in, words and scores out."""
