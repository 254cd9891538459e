"""What every conversation with the crew has in common: a checklist, a flight, a drill."""
