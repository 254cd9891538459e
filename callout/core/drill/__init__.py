"""What to practise, and practising it: chosen from the journals by spaced repetition."""
