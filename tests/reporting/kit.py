"""Journals and reports to test with."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from callout.core.conversation.records import JournalRecord
from callout.core.debrief.gather import session_rows
from callout.core.debrief.session import SessionReport, debrief_of
from callout.core.debrief.timeline import timeline_of
from callout.journal.jsonl_writer import line_of
from tests.core.session_kit import Desk, item, plan


def rough(
    *, hold: float = 60.0, challenge: str = "Beacon", reason: str = "inoperative"
) -> list[JournalRecord]:
    """Return a session with something of everything."""
    first = item("beacon", challenge, "on", wrong=("off",))
    items = (first, *plan().items[1:])
    desk = Desk(plan=plan(items=items)).start().say("off", after=2.0).say("on", after=1.5)
    desk.say("hold", after=1.0)
    desk.now += hold
    desk.say("continue", after=0.5).say(f"skip, {reason}", after=3.0)
    desk.say("come back to that").say("closed and locked", after=0.4)
    return desk.say("1013", after=4.0).records


def report_of(records: Sequence[JournalRecord]) -> SessionReport:
    """Return the debrief of a session without a past."""
    session, items = session_rows(records)
    return SessionReport((debrief_of(session, items, timeline_of(records), {}),))


def keep(folder: Path, name: str, records: Sequence[JournalRecord]) -> Path:
    """Write a journal and return where it is."""
    path = folder / f"{name}.jsonl"
    path.write_bytes(b"".join(line_of(record) for record in records))
    return path


def heard_to_its_end(page: Any, sound: Any) -> None:
    """Press an audio element's own button; it has data, plays and ends."""
    sound.scroll_into_view_if_needed()
    box = sound.bounding_box()
    sound.click(position={"x": 25, "y": box["height"] / 2})
    for _ in range(100):
        if sound.evaluate("e => e.ended"):
            break
        page.wait_for_timeout(100)
    state = sound.evaluate("e => [e.error && e.error.message, e.readyState, e.duration]")
    assert state == [None, 4, 0.5]
    assert sound.evaluate("e => e.ended")
