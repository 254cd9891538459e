"""Inputs that somebody else made, or that were damaged, in great numbers; kills at any moment."""
