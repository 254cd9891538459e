"""From a list and a flight to what is asked."""
