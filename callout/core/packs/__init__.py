"""Lists that travel together: what a pack says of itself, and how two of them differ."""
