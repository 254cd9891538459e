"""Lists on paper and as lines of text."""
