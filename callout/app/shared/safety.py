"""The note that every session, card and report carries."""

SAFETY = (
    "For simulation, study and briefing only. The aircraft's approved manual, the operator's "
    "procedures and the licensed crew always rule."
)
