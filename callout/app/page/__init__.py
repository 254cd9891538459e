"""The page for everything: what its views request, and the sessions started on it."""
