"""What to practise, and practising it: picked from the journals by spaced repetition."""
