"""What was kept of spoilt sound, as a sentence."""

from __future__ import annotations

from callout.core.debrief.shown import counted
from callout.core.sound import Disturbance, Disturbed


def told_sound(record: Disturbed) -> str:
    """Return one record as a sentence, with how much it was."""
    unit = "block" if record.what is Disturbance.LOST else "utterance"
    how = "better" if record.over else record.what.value
    count = f" ({counted(record.count, unit)})" if record.count else ""
    return f"Sound {how}{count}. {record.message}".rstrip()
