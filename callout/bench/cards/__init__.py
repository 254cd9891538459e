"""Invented cards, printed and photographed by simulation, and what is read off them."""
