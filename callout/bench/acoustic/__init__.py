"""Trains the acoustic model, and fits how its reading is weighed with the other opinions."""
