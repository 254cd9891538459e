"""What the project consists of and says, for those who keep it."""
