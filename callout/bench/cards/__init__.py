"""Invented cards, printed and photographed in simulation, and what is read from them."""
