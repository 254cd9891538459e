"""What sessions show about a person: facts from journals, and what they say together."""
