"""What a checklist adds to a conversation."""
