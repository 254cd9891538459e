"""Makes lists from what somebody has: paper as PDF, photographs, texts and tables."""
