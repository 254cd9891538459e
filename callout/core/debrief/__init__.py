"""What sessions show about a person: facts from journals, and conclusions from them."""
