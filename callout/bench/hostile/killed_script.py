"""The script of a person in the sessions that are killed, continued from the journals' state."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Progress
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorProgress
from callout.journal.jsonl_reader import read_journal
from callout.journal.sector_files import FLIGHTS

WORDS: Final = {
    "beacon": "on",
    "pump": "on",
    "refuelling": "complete",
    "altimeter": "one zero one three",
    "doors": "closed and locked",
    "probes": "on",
    "papers": "on board",
    "flaps": "five",
    "speed": "117 knots",
    "wing": "on",
    "trim": "neutral",
}
LISTS: Final = {
    "before-start": ("beacon", "pump", "refuelling", "altimeter", "doors", "papers"),
    "taxi": ("flaps", "speed", "trim"),
}
_FACTS: Final = ("icing reported", "icing over", "fuelling complete", "fuelling in progress")
_ASIDE: Final = (("hold", "continue"), ("what is left",), ("off",), ("nonsense", "off"), ("zero",))


def flight_journal(journals: Path) -> Path | None:
    """Return the flight's journal."""
    return next(iter(sorted((journals / FLIGHTS).glob("*.jsonl"))), None)


def list_progress(path: Path | None) -> Progress | None:
    """Return the progress of a list; None if nothing is stored."""
    records = read_journal(path).records if path and path.exists() else ()
    return replay_list(records) if records else None


def flight_progress(journals: Path) -> SectorProgress | None:
    """Return how far the flight is."""
    path = flight_journal(journals)
    records = read_journal(path).records if path else ()
    return replay_sector(records) if records else None


def list_lines(progress: Progress | None, chance: random.Random | None) -> Iterator[str]:
    """Yield what the person says from here to the end of one list; with ``chance`` also other
    things.
    """
    if progress is None:
        yield from _lines(LISTS["before-start"], chance)
    elif not progress.ending:
        if progress.held:
            yield "continue"
        if progress.question is Question.FACT:
            yield "yes"  # what is not known is asked first
        yield from _lines([progress.plan.items[n].id for n in progress.open_items], chance)


def flight_lines(journals: Path, chance: random.Random | None) -> Iterator[str]:
    """Yield what is said from here to the end of the flight."""
    progress = flight_progress(journals) or SectorProgress()
    run = progress.open_run
    inner = list_progress(journals / f"{run.session_id}.jsonl") if run else None
    if inner is not None:
        yield from list_lines(inner, chance)
    for name, ids in LISTS.items():
        if progress.completed(name) or (run and run.list_id == name and inner is not None):
            continue
        if not (run and run.list_id == name):
            yield from _some(_FACTS, chance)
            yield name.replace("-", " ") + " checklist"
        yield from _lines(ids, chance)
    yield from ("end of flight", "yes")


def drill_lines(chance: random.Random) -> Iterator[str]:
    """Yield replies, of which some may be right."""
    for _ in range(30):
        yield from _some(_ASIDE[0], chance)
        yield chance.choice((*WORDS.values(), "not known", "skip"))


def _lines(ids: Sequence[str], chance: random.Random | None) -> Iterator[str]:
    for name in ids:
        yield from _some(_FACTS, chance)
        if chance and chance.random() < 0.25:
            yield from chance.choice(_ASIDE)
        yield WORDS[name]


def _some(texts: Sequence[str], chance: random.Random | None) -> Iterator[str]:
    if chance and chance.random() < 0.15:
        yield chance.choice(texts)
