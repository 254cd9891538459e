"""What every part works with: lists, items, flights, replies and verdicts."""
