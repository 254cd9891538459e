"""Speaking: text in, sound out."""
