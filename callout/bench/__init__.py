"""Measurements a person can run again."""

COMMANDS = ("check", "hearing", "judging")
"""Modules of this package that are subcommands of ``callout bench``."""
