"""Chooses, opens and tests what a session listens with."""
