"""What a session needs, and what this machine has."""
