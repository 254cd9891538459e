"""What a flight adds to a conversation: which list is due, and what is called for."""
