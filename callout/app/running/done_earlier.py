"""What was done before, read from the journals: items due only once per day, power-up or crew."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.records import Began, Ended, Replied
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.model.checklist import Checklist, Item, Once, Phase
from callout.errors import JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.misfits import MISFITS

LOOK_BACK = timedelta(hours=24)
"""Older journals are ignored: no duty period and no "today" is longer."""
_STAMP = re.compile(r"(\d{8}T\d{6}Z)-")


@dataclass(frozen=True, slots=True)
class Past:
    """What the journals of one aircraft contain about the last day."""

    answered: Mapping[tuple[str, str], datetime]
    """When an item was last answered right, by list and item."""
    crew: Mapping[tuple[str, str], str]
    """By which crew."""
    secured: datetime | None = None
    """When the aircraft was last left without power: its securing list was completed."""

    def done(self, checklist: Checklist, now: datetime, crew: str = "") -> dict[str, str]:
        """Return the items of ``checklist`` that need not be repeated, in words.

        now: in the person's time zone; crew: who asks.
        """
        found = {}
        for item in checklist.items:
            when = self.answered.get((checklist.id, item.id))
            if item.once and when and self._still(checklist.id, item, when, now, crew):
                found[item.id] = in_words(when, now)
        return found

    def _still(self, list_id: str, item: Item, when: datetime, now: datetime, crew: str) -> bool:
        local = when.astimezone(now.tzinfo)
        match item.once:
            case Once.DAY:
                return local.date() == now.date()
            case Once.POWER_UP:
                return self.secured is None or when > self.secured
            case _:
                same = self.crew.get((list_id, item.id), "") == crew
                return same and bool(crew) and (self.secured is None or when > self.secured)


NO_PAST = Past({}, {})


def in_words(when: datetime, now: datetime) -> str:
    """Return "done today at 06:40", in the person's local time."""
    local = when.astimezone(now.tzinfo)
    day = "today" if local.date() == now.date() else "yesterday"
    return f"done {day} at {local:%H:%M}"


def read_past(folder: Path, aircraft: str, lists: Iterable[Checklist], now: datetime) -> Past:
    """Return what the journals in ``folder`` contain about ``aircraft`` for the day before ``now``.

    A journal that cannot be read completely is ignored, and so is a demonstration: the items are
    asked again.
    """
    securing = {c.id for c in lists if c.phase is Phase.SECURING}
    answered: dict[tuple[str, str], datetime] = {}
    crew: dict[tuple[str, str], str] = {}
    secured: datetime | None = None
    for found in _recent_journals(folder, now):
        began = found.records[0]
        if not isinstance(began, Began) or began.about.get("aircraft", "") != aircraft:
            continue
        for item_id, when in _standing_answers(found):
            key = (began.plan.list_id, item_id)
            answered[key], crew[key] = when, began.about.get("crew", "")
        last = found.records[-1]
        completed = isinstance(last, Ended) and last.ending is Ending.COMPLETED
        if completed and began.plan.list_id in securing:
            secured = last.utc
    return Past(answered, crew, secured)


def _recent_journals(folder: Path, now: datetime) -> Iterator[JournalRead]:
    """Yield the journals begun within the last day, oldest first."""
    since = now.astimezone(UTC) - LOOK_BACK
    for path in sorted(folder.glob("*.jsonl")):
        stamp = _STAMP.match(path.name)
        if stamp and _parse_moment(stamp.group(1)) < since:
            continue
        with suppress(JournalDamaged):
            found = read_journal(path)
            if found.records and not found.lost and not is_demonstration(found.records):
                yield found


def _parse_moment(stamp: str) -> datetime:
    return datetime.strptime(stamp, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)


def _standing_answers(found: JournalRead) -> Iterator[tuple[str, datetime]]:
    """Yield the items answered at the end of a journal, with their times."""
    try:
        progress = replay_list(found.records)
    except MISFITS:
        return iter(())
    pairs = zip(progress.plan.items, progress.items, strict=True)
    standing = {p.id for p, item in pairs if item.outcome is ItemOutcome.ANSWERED}
    when = {r.item_id: r.utc for r in found.records if isinstance(r, Replied)}
    return ((item_id, when[item_id]) for item_id in standing if item_id in when)
