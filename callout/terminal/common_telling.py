"""The records common to all conversations, as sentences."""

from __future__ import annotations

from callout.core.conversation import records as c
from callout.core.model.counting import counted_noun
from callout.core.sentences import conversation
from callout.core.sentences import session as sentences


def tell_common(record: c.JournalRecord) -> str | None:
    """Return one record as a sentence; None: it belongs to one kind of conversation."""
    match record:
        case c.Resumed():
            return "Resumed."
        case c.Failed():
            return f"{record.part} failed: {record.message}"
        case c.Recovered():
            return conversation.device_back(record.part)
        case c.Disturbed():
            return _tell_sound(record)
        case c.Suspended():
            return sentences.interrupted_because(record.why)
        case _:
            return None


def _tell_sound(record: c.Disturbed) -> str:
    """Return a record of degraded sound, with its extent."""
    unit = "block" if record.what is c.Disturbance.LOST else "utterance"
    how = "better" if record.over else record.what.value
    count = f" ({counted_noun(record.count, unit)})" if record.count else ""
    return f"Sound {how}{count}. {record.message}".rstrip()
