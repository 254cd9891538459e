"""The append-only journal."""
