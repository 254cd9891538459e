"""Rows made the quick way are those of the longer way, or it is left to that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.debrief.columns import OWN, TABLES, Rows, session_values
from callout.core.debrief.gather import session_rows
from callout.core.debrief.quick_values import quick_values
from callout.journal.jsonl_reader import read_journal
from callout.journal.misfits import MISFITS
from tests.core.checklist_run.test_session_properties import (
    PLANS,
    Script,
    pacings,
    run,
    scripts,
)
from tests.core.debrief.test_tally import GOLDEN, any_records

NOW = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


def longer(records: Sequence[JournalRecord]) -> Rows:
    session, items = session_rows(records)
    return session_values(replace(session, person=session.person or "crew"), items)


def compare(records: Sequence[JournalRecord]) -> bool:
    """Compare both ways, types of numbers too; say whether there is a quick one."""
    began = records[0]
    assert isinstance(began, r.Began)
    quick = quick_values(records, began.about, "crew")
    if quick is not None:
        assert repr(quick) == repr(longer(records))
    return quick is not None


def dated(records: Sequence[JournalRecord]) -> list[JournalRecord]:
    return [replace(record, utc=NOW) for record in records]


@given(any_records())
@settings(max_examples=400, deadline=None)
def test_records_in_any_order(records: list[JournalRecord]) -> None:
    compare(dated(records))


@given(st.integers(0, len(PLANS) - 1), pacings, scripts)
@settings(max_examples=200, deadline=None)
def test_whole_sessions(which: int, pacing: Pacing, script: Script) -> None:
    compare(dated(run(which, pacing, script).records))


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_kept_journals(path: Path) -> None:
    records = read_journal(path).records
    if isinstance(records[0], r.Began):
        try:
            compare(records)
        except MISFITS:
            with pytest.raises(MISFITS):
                longer(records)


def test_an_ordinary_list_goes_the_quick_way() -> None:
    from tests.store.journals import practice

    paths = sorted(practice().glob("*.jsonl"))
    assert sum(compare(read_journal(path).records) for path in paths) >= len(paths) - 1


def test_a_plan_with_one_id_twice_goes_the_longer_way() -> None:
    plan = PLANS[0]
    double = replace(plan, items=(plan.items[0], *plan.items))
    assert quick_values([r.Began("s", double, seq=1, utc=NOW)], {}, "crew") is None


def test_every_row_has_a_value_for_each_column_of_its_own() -> None:
    records = [record for path in GOLDEN for record in read_journal(path).records[:1]]
    began = next(record for record in records if isinstance(record, r.Began))
    made = quick_values([began], began.about, "crew")
    assert made is not None
    assert {len(row) for row in made["sessions"]} == {len(OWN["sessions"])}
    assert {len(row) for row in made["items"]} == {len(OWN["items"])}
    names = {column.name for column in TABLES["sessions"]}
    shared = {c.shared for table in ("items", "replies") for c in TABLES[table] if c.shared}
    assert {"session_id", "month", "title"} < shared <= names
