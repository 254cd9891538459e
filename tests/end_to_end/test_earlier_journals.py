"""Journals kept by an earlier version mean today what they meant then.

They were written by the program as it was before a change of facts undid anything.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.flight_run.replay import replay_sector
from callout.journal.jsonl_reader import read_journal
from callout.terminal.telling import journal_lines

EARLIER = Path(__file__).parent / "earlier"
CALLS = {
    "power-up": "Power-up complete.",
    "before-start": "Before start checklist complete.",
    "fire": "Drill complete.",
    "taxi": "Taxi checklist complete.",
    "changed-figures": "Before start checklist complete.",
}


@pytest.mark.parametrize("name", CALLS)
def test_a_list_that_was_complete_is_complete(name: str) -> None:
    records = read_journal(EARLIER / f"{name}.jsonl").records
    progress = replay_list(records)
    assert (progress.ending, progress.call) == (Ending.COMPLETED, CALLS[name])
    outcomes = {p.id: i.outcome for p, i in zip(progress.plan.items, progress.items, strict=True)}
    if name == "changed-figures":  # the altimeters were answered before the setting changed
        assert outcomes.pop("navigation-lights") is ItemOutcome.NOT_APPLICABLE
        assert progress.items[10].reply == "1018 hPa"
    assert set(outcomes.values()) == {ItemOutcome.ANSWERED}
    assert list(journal_lines(records))


def test_a_flight_ended_as_it_did() -> None:
    progress = replay_sector(read_journal(EARLIER / "flight.jsonl").records)
    assert progress.ended
    assert [run.list_id for run in progress.runs] == ["power-up", "before-start", "fire", "taxi"]
    assert all(progress.completed(run.list_id) for run in progress.runs)
    assert progress.facts == {"fuelling": True, "icing": True}
    assert [(one.name, str(one.number)) for one in progress.given] == [("v1", "120")]
