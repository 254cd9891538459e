"""Which record a spoken reply led to."""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.conversation.records import JournalRecord
from callout.core.model.utterance import ReplySource, Utterance


def is_spoken(record: JournalRecord) -> bool:
    """Say whether the record holds something that was heard."""
    said = getattr(record, "utterance", None)
    return isinstance(said, Utterance) and said.source is ReplySource.VOICE


def spoken_number(records: Iterable[JournalRecord]) -> int:
    """Return the number of the first record that holds what was heard; 0 for none."""
    return next((record.seq for record in records if is_spoken(record)), 0)
