"""What a session needs, and what is there."""
