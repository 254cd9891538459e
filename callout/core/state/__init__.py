"""What an aircraft tells of itself: read out of a stream, and held against what is said."""
