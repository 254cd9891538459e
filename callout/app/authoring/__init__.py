"""Lists out of what somebody has: paper as PDF, photographs, texts and tables."""
