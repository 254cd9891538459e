"""What is counted in place is what the replay gives, record by record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import apply_record
from callout.core.checklist_run.state import Progress
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.tally import Tally
from callout.journal.jsonl_reader import read_journal
from callout.journal.misfits import MISFITS
from tests.core.checklist_run.test_session_properties import (
    PLANS,
    Script,
    pacings,
    run,
    scripts,
)
from tests.core.keeping.test_record_codec import ALL
from tests.core.session_kit import plan

GOLDEN = sorted((Path(__file__).parents[2] / "data" / "journals").glob("*.jsonl"))
IDS = st.sampled_from((*(item.id for item in plan().items), "nothing"))


def same(records: Sequence[JournalRecord], looks: Sequence[bool]) -> None:
    """Compare after each record; the whole progress only where ``looks`` says so, and at the end.

    Looking settles what was counted, so that other ways through are taken where nobody looks.
    """
    expected, tally = Progress(), Tally()
    for record, look in zip(records, looks, strict=True):
        try:
            expected = apply_record(expected, record)
        except MISFITS as error:
            with pytest.raises(type(error)):
                tally.take(record)
            return
        tally.take(record)
        assert (tally.at, tally.held) == (expected.at, expected.held)
        assert tally.current == (expected.item.id if expected.item else None)
        if look:
            assert tally.progress == expected
    assert tally.progress == expected


@st.composite
def any_records(draw: st.DrawFn) -> list[JournalRecord]:
    """Return records of a list in an order that no session would write."""
    began = r.Began("s", draw(st.sampled_from(PLANS)), seq=1)
    made: list[JournalRecord] = [began]
    for seq, record in enumerate(draw(st.lists(st.sampled_from(ALL), max_size=25)), start=2):
        changes: dict[str, object] = {"seq": seq, "at": draw(st.sampled_from((0.0, 1.5, 90.0)))}
        if "item_id" in {spec.name for spec in fields(record)}:
            changes["item_id"] = draw(IDS)
        if isinstance(record, r.Challenged):
            changes["passed_over"] = draw(st.sampled_from(((), ("doors",))))
        made.append(replace(record, **changes))
    return made


@given(any_records(), st.data())
@settings(max_examples=300, deadline=None)
def test_records_in_any_order(records: list[JournalRecord], data: st.DataObject) -> None:
    size = len(records)
    same(records, data.draw(st.lists(st.booleans(), min_size=size, max_size=size)))


@given(st.integers(0, len(PLANS) - 1), pacings, scripts, st.booleans())
@settings(max_examples=150, deadline=None)
def test_records_of_whole_sessions(which: int, pacing: Pacing, script: Script, look: bool) -> None:
    records = run(which, pacing, script).records
    same(records, [look] * len(records))


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_records_of_kept_journals(path: Path) -> None:
    records = read_journal(path).records
    if isinstance(records[0], r.Began):
        same(records, [False] * len(records))
        same(records, [True] * len(records))


def test_half_of_the_kept_journals_are_lists() -> None:
    assert sum(isinstance(read_journal(p).records[0], r.Began) for p in GOLDEN) >= len(GOLDEN) // 2
