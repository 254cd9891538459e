"""Rows of many journals in one analytical database, and plain SQL over them."""
