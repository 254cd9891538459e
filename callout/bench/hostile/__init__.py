"""Inputs that somebody else made or that were damaged, in large numbers; kills at random
moments.
"""
