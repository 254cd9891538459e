"""One reply, read from its record."""

from __future__ import annotations

import math

from callout.core.checklist_run import records as r
from callout.core.debrief.facts import ReplyFact


def reply_of(record: r.Replied) -> ReplyFact:
    """Return a reply with its judgement."""
    said = record.utterance
    return ReplyFact(
        at=finite_number(record.at) or 0.0,
        text=said.text,
        transcript=said.transcript,
        verdict=record.verdict,
        code=record.code,
        reason=record.reason,
        seconds=finite_number(record.seconds),
        source=said.source.value,
        sure=said.sure,
        seat=said.seat.value if said.seat else "",
    )


def finite_number(number: float | None) -> float | None:
    """Return ``number`` unless a damaged or hostile journal made it not finite."""
    return number if number is not None and math.isfinite(number) else None
