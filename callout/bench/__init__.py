"""Measurements a person can run again."""

COMMANDS = (
    "check",
    "drills",
    "enrolment",
    "fit",
    "fixtures",
    "fuzz",
    "hearing",
    "judging",
    "lists",
    "load",
    "pictures",
    "platforms",
    "replies",
    "reports",
    "sbom",
    "scale",
    "session",
    "sounds",
    "weights",
    "year",
)
"""Modules of this package that are subcommands of ``callout bench``."""
