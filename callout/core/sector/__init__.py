"""A whole flight: which list is due, which was called, and what was never completed."""
