"""Records as plain values, and which of them are to be forgotten."""
