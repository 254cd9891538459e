"""What everything speaks of: lists, items, flights, replies and verdicts."""
