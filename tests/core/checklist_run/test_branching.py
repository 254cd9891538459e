"""Questions that lead on: which way is taken, what falls away, and how a journal tells it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from callout.app.shared.checklist_files import load_checklist, load_flight
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.branch_paths import completion_call
from callout.core.checklist_run.branching import judge_way, lead_of
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import MemoryMode, Pacing
from callout.core.formats.schema import checklist_from
from callout.core.model.checklist import Checklist
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.model.list_routes import END, nodes_reached, routes_of
from callout.core.model.problems import FileProblems
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from callout.core.planning.run_plan import plan_for
from tests.core.session_kit import Desk

DRILL = """
callout: 1
id: alternator
title: Alternator
phase: non-normal
method: read-and-do
complete: alternator checklist complete
ends:
  fine: alternator checklist complete, charging
  lost: alternator checklist complete, on the battery
sections:
  - title: Look
    items:
      - id: ammeter
        challenge: Ammeter
        leads:
          - {reply: [charging, shows a charge], to: fine}
          - {reply: discharging, to: reset}
  - id: reset
    title: One reset
    items:
      - {id: switch, challenge: Alternator, response: reset, wrong: left off}
      - id: again
        challenge: Ammeter after the reset
        leads:
          - {reply: charging, to: fine}
          - {reply: discharging, to: battery}
  - id: battery
    title: On the battery
    then: lost
    items:
      - {id: loads, challenge: Loads, response: off, wrong: on}
      - {id: radios, challenge: Radios, response: one only, wrong: both on}
"""
TABLES = default_tables()
SHIPPED = Path(__file__).parents[3] / "checklists"
BRANCHED = [
    path
    for path in sorted(SHIPPED.glob("*/*.yaml"))
    if path.name != "flight.yaml" and any(i.leads for i in load_checklist(path).items)
]


def drill(text: str = DRILL) -> Checklist:
    return checklist_from(parse_yaml(text, "drill.yaml"), "drill.yaml")


def desk(*replies: str, text: str = DRILL) -> Desk:
    plan = plan_for(drill(text), EMPTY_FLIGHT, TABLES)
    opened = Desk(plan).start()
    for reply in replies:
        opened.type(reply)
    return opened


def said(worked: Desk) -> list[str]:
    return [x.text for x in worked.effects if isinstance(x, e.Say)]


def outcomes(worked: Desk) -> dict[str, ItemOutcome | None]:
    progress = worked.state.progress
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return {item.id: state.outcome for item, state in pairs}


def test_an_end_drops_what_comes_after_it() -> None:
    worked = desk("charging")
    assert worked.state.progress.ending is Ending.COMPLETED
    assert said(worked)[-1] == "Alternator checklist complete, charging."
    found = outcomes(worked)
    assert found.pop("ammeter") is ItemOutcome.ANSWERED
    assert set(found.values()) == {ItemOutcome.NOT_APPLICABLE}
    [led] = [x for x in worked.records if isinstance(x, r.Led)]
    assert (led.to, led.dropped) == ("@end:fine", ("switch", "again", "loads", "radios"))


def test_the_long_way_has_an_end_of_its_own() -> None:
    worked = desk("discharging", "reset", "discharging", "off", "one only")
    assert worked.state.progress.ending is Ending.COMPLETED
    assert said(worked)[-1] == "Alternator checklist complete, on the battery."
    assert set(outcomes(worked).values()) == {ItemOutcome.ANSWERED}
    assert any("On the battery." in text for text in said(worked))


def test_going_back_to_the_question_takes_the_way_back() -> None:
    worked = desk("discharging", "reset", "charging")
    assert worked.state.progress.ending is Ending.COMPLETED
    worked = desk("discharging", "reset", "go back", "go back", "charging")
    assert said(worked)[-1] == "Alternator checklist complete, charging."
    found = outcomes(worked)
    assert (found["switch"], found["again"]) == (ItemOutcome.NOT_APPLICABLE,) * 2


def test_what_had_fallen_away_comes_back() -> None:
    worked = desk("discharging", "reset", "discharging", "go back", "go back", "go back")
    assert worked.state.progress.item
    assert worked.state.progress.item.id == "ammeter"
    assert worked.state.progress.ways == {}
    worked.type("discharging")
    assert outcomes(worked)["loads"] is None


@pytest.mark.parametrize("words", ["skip, no time", "come back to that"])
def test_the_question_itself_is_not_left_out(words: str) -> None:
    worked = desk(words)
    assert worked.state.progress.item
    assert worked.state.progress.item.id == "ammeter"
    assert any("list branches here" in text for text in said(worked))


@pytest.mark.parametrize(
    "words", ["off", "charging or discharging", "not charging", "maybe charging"]
)
def test_what_chooses_no_way_for_sure_chooses_none(words: str) -> None:
    item = plan_for(drill(), EMPTY_FLIGHT, TABLES).items[0]
    assert judge_way(item, words, TABLES).verdict is not Verdict.MATCH
    assert desk(words).state.progress.ways == {}


def test_a_journal_leads_the_same_way() -> None:
    worked = desk("discharging", "reset", "charging")
    again = replay_list(worked.records)
    assert again == worked.state.progress
    assert completion_call(again) == "alternator checklist complete, charging"


def test_a_break_between_the_reply_and_its_way_asks_once_more() -> None:
    worked = desk("charging")
    cut = [x for x in worked.records if not isinstance(x, r.Led | r.Ended)]
    resumed = Desk(worked.plan)
    resumed.state = replace(resumed.state, progress=replay_list(cut))
    resumed.feed(ev.ResumeAsked(resumed.stamp()))
    assert resumed.state.progress.item
    assert resumed.state.progress.item.id == "ammeter"


@pytest.mark.parametrize(
    ("change", "to", "told"),
    [
        ("to: reset}", "to: rest}", '"rest" is no section and no end'),
        ("to: battery}", "to: reset}", 'leads back to "reset"'),
        ("    then: lost", "    then: reset", 'leads back to "reset"'),
        ("  - id: battery", "  - id: fine", "already the name"),
        ("response: reset, ", "", 'an item has no "response"'),
    ],
)
def test_what_would_not_end_is_refused(change: str, to: str, told: str) -> None:
    assert change in DRILL
    with pytest.raises(FileProblems) as problems:
        drill(DRILL.replace(change, to))
    assert told in " ".join(problem.message for problem in problems.value.problems)


@pytest.mark.parametrize("path", BRANCHED, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_every_way_through_a_shipped_drill_is_reached_and_ends(path: Path) -> None:
    routes = routes_of(load_checklist(path))
    start = next(iter(routes))
    assert nodes_reached(routes, [start]) >= set(routes)
    for node in routes:
        assert any(n.startswith(END) for n in nodes_reached(routes, [node])), node


def ways(plan: Plan, chosen: tuple[int, ...] = ()) -> Iterator[tuple[Desk, tuple[int, ...]]]:
    """Work a list by every way there is: right replies only, each lead of each question once."""
    worked = Desk(plan, Pacing(memory=MemoryMode.READ)).start()
    taken: list[int] = []
    while item := worked.state.progress.item:
        if not item.leads:
            worked.type(item.expectation.accepted[0].text)
            continue
        if len(taken) == len(chosen):
            for n in range(len(item.leads)):
                yield from ways(plan, (*chosen, n))
            return
        taken.append(chosen[len(taken)])
        lead = item.leads[taken[-1]]
        worked.type(lead.replies[-1].text)
        assert worked.state.progress.ways[item.id] == lead.to, item.id
    yield worked, chosen


@pytest.mark.parametrize("path", BRANCHED, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_each_reply_leads_its_own_way_and_no_other(path: Path) -> None:
    flight = load_flight(path.parent / "flight.yaml")
    for item in plan_for(load_checklist(path), flight, TABLES).items:
        for lead in item.leads:
            for reply in lead.replies:
                assert lead_of(item, reply.text, TABLES) is lead, (item.id, reply.text)
                assert judge_way(item, reply.text, TABLES).verdict is Verdict.MATCH


@pytest.mark.parametrize("path", BRANCHED, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_a_shipped_drill_ends_whatever_is_answered(path: Path) -> None:
    flight = load_flight(path.parent / "flight.yaml")
    plan = plan_for(load_checklist(path), flight, TABLES)
    calls = set()
    for worked, _ in ways(plan):
        assert worked.state.progress.ending is Ending.COMPLETED
        assert replay_list(worked.records) == worked.state.progress
        calls.add(worked.state.progress.call.rstrip(".").casefold())
    assert calls == {c.casefold() for c in (plan.ends.values() or (plan.completion_call,))}
