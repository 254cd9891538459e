"""What a debrief says first, and that its counts and lists agree."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.advice import advise_session
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact, ReplyFact, SessionFact
from callout.core.debrief.gather import session_rows
from callout.core.debrief.session import debrief_of
from callout.core.debrief.timeline import Timeline, timeline_of
from callout.core.debrief.usual_times import replied_by
from callout.core.model.verdict import Verdict
from tests.core.debrief.test_facts import rough_session


@pytest.fixture
def told() -> tuple[SessionFact, tuple[ItemFact, ...], Timeline]:
    records = rough_session()
    session, items = session_rows(records)
    clean = tuple(
        replace(i, outcome=ItemOutcome.ANSWERED, skipped=False, skip_reason="", mismatches=0,
                unclear=0, fast=False, slow=False, out_of_order=False, deviations=(),
                critical=False, heard=(), reply_seconds=2.0)
        for i in items
    )  # fmt: skip
    return session, clean, replace(timeline_of(records), spans=())


def _with(items: tuple[ItemFact, ...], **changed: ItemFact) -> tuple[ItemFact, ...]:
    return tuple(changed.get(i.item_id.replace("-", "_"), i) for i in items)


def test_a_wrong_critical_reply_comes_before_a_reasoned_skip(told) -> None:  # type: ignore[no-untyped-def]
    session, items, timeline = told
    by_id = {i.item_id: i for i in items}
    skipped = replace(by_id["pump"], skipped=True, skip_reason="inoperative",
                      outcome=ItemOutcome.SKIPPED)  # fmt: skip
    wrong = replace(by_id["beacon"], mismatches=1, critical=True,
                    deviations=(Deviation.MISMATCHED,))  # fmt: skip
    other = replace(by_id["doors"], mismatches=1, deviations=(Deviation.MISMATCHED,))
    met = _with(items, pump=skipped, beacon=wrong, doors=other)
    texts = [a.text for a in advise_session(session, met, timeline)]
    assert texts[0].startswith("Wrong at first: Beacon (critical), Doors.")
    assert texts[1] == "Practise what went wrong with callout drill."
    assert texts[-1].startswith("Skipped for a reason: Fuel pump.")


def test_an_unreasoned_skip_is_told_apart_from_a_reasoned_one(told) -> None:  # type: ignore[no-untyped-def]
    session, items, timeline = told
    by_id = {i.item_id: i for i in items}
    bare = replace(by_id["doors"], skipped=True, outcome=ItemOutcome.SKIPPED)
    reasoned = replace(by_id["pump"], skipped=True, skip_reason="inoperative",
                       outcome=ItemOutcome.SKIPPED)  # fmt: skip
    found = debrief_of(session, _with(items, doors=bare, pump=reasoned), timeline, {})
    names = {g.name: [i.item_id for i, _ in g.lines] for g in found.groups}
    assert names["Skipped"] == ["doors"]
    assert names["Skipped for a reason"] == ["pump"]


def test_every_reply_as_slow_as_a_slow_one_is_listed(told) -> None:  # type: ignore[no-untyped-def]
    session, items, timeline = told
    by_id = {i.item_id: i for i in items}
    right = ReplyFact(30.0, "on", "on", Verdict.MATCH, "same", "", seconds=30.0)
    slow = replace(by_id["beacon"], slow=True, first_time=True, heard=(right,), reply_seconds=30.0)
    longer = replace(by_id["doors"], reply_seconds=39.5)
    found = debrief_of(session, _with(items, beacon=slow, doors=longer), timeline, {})
    [group] = [g for g in found.groups if g.name == "Slow"]
    assert {i.item_id: detail for i, detail in group.lines} == {
        "beacon": "30.0 s",
        "doors": "39.5 s",
    }


@pytest.mark.parametrize(
    ("sources", "words"),
    [
        ((), ""),
        (("keyboard",), "typed"),
        (("voice",), "spoken"),
        (("voice", "keyboard"), "spoken and typed"),
    ],
)
def test_how_replies_came_is_told_from_the_replies(told, sources, words) -> None:  # type: ignore[no-untyped-def]
    _, items, _ = told
    heard = tuple(ReplyFact(1.0, "on", "on", Verdict.MATCH, "", "", source=s) for s in sources)
    assert replied_by([replace(items[0], heard=heard)]) == words
