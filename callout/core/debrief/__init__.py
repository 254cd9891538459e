"""What sessions show about a person: facts out of journals, and what they say together."""
