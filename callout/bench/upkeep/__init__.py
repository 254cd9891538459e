"""What the project consists of and what it says, for maintainers."""
