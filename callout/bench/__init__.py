"""Measurements a person can run again."""

COMMANDS = {
    "acoustic": "acoustic.train",
    "check": "check",
    "drills": "drills",
    "enrolment": "enrolment",
    "fit": "fitting.fit",
    "fixtures": "fixtures",
    "fuse": "acoustic.fuse",
    "fuzz": "hostile.fuzz",
    "hearing": "hearing",
    "judging": "judging",
    "lists": "lists",
    "load": "load",
    "pictures": "pictures",
    "platforms": "platforms",
    "practice": "practising",
    "replies": "replies",
    "reports": "reports",
    "sbom": "sbom",
    "scale": "scale",
    "session": "session",
    "sounds": "sounds",
    "voices": "voice.voices",
    "weights": "fitting.moonshine_weights",
    "year": "year",
}
"""Subcommands of ``callout bench``, each with its module in this package."""
