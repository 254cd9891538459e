"""A change of facts or figures while a list is open undoes what no longer holds."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending, Question, Why
from callout.core.checklist_run.state import ItemOutcome, SessionState
from callout.core.conversation.pacing import CompletionBy, Pacing
from callout.core.model.checklist import Role
from callout.core.planning.plan_inputs import Setting
from callout.terminal.telling import journal_lines
from tests.core.flight_kit import flight, written
from tests.core.session_kit import Desk

LIST = """
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
complete: before start checklist complete
items:
  - {id: hose, challenge: Fuel hose, response: clear, when: fuelling}
  - {id: pitot, challenge: Pitot heat, response: "on", when: icing or night, critical: yes}
  - {id: lights, challenge: Lights, response: "on", when: icing or night}
  - {id: altimeter, challenge: Altimeters, response: "{qnh}", critical: yes}
  - {id: fuel, challenge: Fuel, response: "{total} litres"}
  - {id: belts, challenge: Belts, response: fastened}
  - {id: beacon, challenge: Beacon, response: "on"}
"""
FLIGHT = """
callout: 1
quantities:
  qnh: {value: 1018 hPa, kind: pressure, name: altimeter setting}
  left: {value: 100 L, kind: volume}
  total: {value: left + left, kind: volume, name: fuel on board}
facts:
  icing: {is: "yes"}
  night: {is: "no"}
  fuelling: {is: "yes", said_no: fuelling complete, said_yes: fuelling in progress}
"""
REPLIES = {
    "hose": "clear", "pitot": "on", "lights": "on", "altimeter": "one zero one eight",
    "fuel": "two hundred litres", "belts": "fastened", "beacon": "on",
}  # fmt: skip


def desk(text: str = LIST, pacing: Pacing | None = None) -> Desk:
    setting = Setting(written(text), flight(FLIGHT), 1)
    made = Desk(pacing=pacing or Pacing())
    made.plan = setting.plan({}, made.state.context.tables)
    context = made.state.context
    made.state = SessionState(type(context)(
        context.commands, context.tables, context.pacing, context.find_candidates, True, "test",
        setting,
    ))  # fmt: skip
    return made


def up_to(item_id: str, **options: object) -> Desk:
    """Answer every item before ``item_id`` right."""
    made = desk(**options).start()  # type: ignore[arg-type]
    for _ in made.plan.items:
        if made.asking != item_id:
            made.say(REPLIES[made.asking])
    assert made.asking == item_id
    return made


def reopened(made: Desk) -> dict[str, str]:
    return {x.item_id: x.because for x in made.records if isinstance(x, r.Reopened)}


def test_an_altimeter_answered_with_an_outdated_setting_is_asked_again() -> None:
    made = up_to("beacon").type("set altimeter setting to 1020")
    assert made.spoken == "Altimeter setting: 1020 hPa. Repeat: Altimeters. Beacon?"
    assert reopened(made) == {"altimeter": "altimeter setting: 1020 hPa"}
    row = next(x for x in made.views() if x.item_id == "altimeter")
    assert row.note == "altimeter setting: 1020 hPa"
    made.say("on")
    assert made.asking == "altimeter"
    last = [x for x in made.records if isinstance(x, r.Challenged)][-1]
    assert last.why is Why.REOPENED
    made.say("one zero one eight")
    assert made.state.progress.ending is None
    made.say("one zero two zero")
    assert made.state.progress.ending is Ending.COMPLETED
    made.check()


def test_a_figure_computed_from_one_that_changed_is_asked_again() -> None:
    made = up_to("beacon").type("left is 110")
    assert reopened(made) == {"fuel": "left: 110 L"}
    made.say("on").say("two hundred twenty litres")
    assert made.outcomes()["fuel"] == ItemOutcome.ANSWERED.value
    made.check()


def test_the_same_figure_once_more_undoes_nothing() -> None:
    made = up_to("beacon").type("set altimeter setting to 1018")
    assert reopened(made) == {}


def test_what_fell_away_after_its_reply_is_asked_when_it_is_due_again() -> None:
    made = up_to("beacon").say("fuelling complete")
    assert reopened(made) == {}
    made.say("fuelling in progress")
    assert reopened(made) == {"hose": "fuelling: yes"}
    assert made.say("on").asking == "hose"
    made.check()


def test_a_critical_item_is_asked_again_even_where_its_reply_is_the_same() -> None:
    made = up_to("beacon").type("night yes")
    assert reopened(made) == {"pitot": "night: yes"}
    assert made.outcomes()["lights"] == ItemOutcome.ANSWERED.value
    made.check()


def test_a_skipped_item_that_expects_something_else_is_asked_again() -> None:
    made = up_to("altimeter").say("skip, inoperative").type("set altimeter setting to 1020")
    assert reopened(made) == {"altimeter": "altimeter setting: 1020 hPa"}


def test_of_two_seats_both_answer_anew() -> None:
    text = LIST.replace('"{qnh}", critical: yes', '"{qnh}", who: both')
    made = desk(text)
    assert made.state.context.setting
    setting = Setting(made.state.context.setting.checklist, flight(FLIGHT), 2)
    made.plan = setting.plan({}, made.state.context.tables)
    assert made.plan.items[3].role is Role.BOTH
    context = made.state.context
    made.state = SessionState(type(context)(
        context.commands, context.tables, context.pacing, context.find_candidates, True, "test",
        setting,
    ))  # fmt: skip
    made.start()
    for asked in ("hose", "pitot", "lights"):
        made.say(REPLIES[asked])
    made.say("one zero one eight")
    assert made.state.progress.items[3].accepted == 1
    made.type("fuelling no").key(";")
    made.type("set altimeter setting to 1020")
    assert made.state.progress.items[3].accepted == 0
    made.check()


@pytest.mark.parametrize("change", ["set altimeter setting to 1020", "fuelling in progress"])
def test_a_change_before_the_completion_call_takes_the_question_back(change: str) -> None:
    made = up_to("beacon", pacing=Pacing(completion_by=CompletionBy.PERSON))
    made.say("fuelling complete").say("on")
    assert made.state.progress.question is Question.COMPLETION
    made.type(change)
    assert made.state.progress.question is None
    assert made.asking in ("altimeter", "hose")
    made.type("before start checklist complete")
    assert made.state.progress.ending is None
    made.check()


def test_deferred_items_that_fall_away_leave_no_question_behind() -> None:
    made = up_to("hose").say("come back to that")
    for asked in list(REPLIES)[1:]:
        made.say(REPLIES[asked])
    made.say("come back to that")
    assert made.state.progress.question is Question.OPEN_ITEMS
    made.say("fuelling complete")
    assert made.state.progress.ending is Ending.COMPLETED
    made.check()


def test_an_item_that_falls_away_takes_the_question_for_its_reason_along() -> None:
    made = up_to("hose").say("skip")
    assert made.state.progress.question is Question.SKIP_REASON
    made.say("fuelling complete")
    assert made.asking == "pitot"
    made.check()


def test_a_figure_that_cannot_be_used_changes_nothing_and_says_so() -> None:
    made = up_to("beacon", text=LIST.replace("{total}", "{2 * left / (left / left)}"))
    before = made.state.progress
    made.type("left is 0")
    assert "Left: 0 L. Not accepted." in made.spoken
    assert made.state.progress.given == before.given == ()
    assert made.state.progress.plan == before.plan
    made.check()


def test_it_is_told_when_the_journal_is_read_out() -> None:
    made = up_to("beacon").type("set altimeter setting to 1020")
    lines = "\n".join(journal_lines(made.records))
    assert "Altimeters again: altimeter setting: 1020 hPa." in lines
