"""The page for everything: what its views ask for, and the sessions started on it."""
