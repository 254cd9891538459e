"""Quantities stated while a list is open, and items wanted although they were done before.

Forms of numbers: ICAO Annex 10 Vol II 5.2.1.4 and FAA AIM 4-2-8 (digit by digit).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Question
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.model.verdict import Verdict
from callout.core.planning.stated_quantity import Given, find_given, told_given
from tests.core.flight_kit import FlightDesk, flight
from tests.core.session_kit import Desk
from tests.core.understanding.test_set_up import desk

DATA = """
callout: 1
quantities:
  v1: {value: 117 kt, name: decision speed}
  rotate_speed: {value: 76 kt, name: rotation speed}
  squawk: {value: 4271, kind: transponder, digits: 4, name: transponder code}
  qnh: {value: 1018 hPa, kind: pressure, name: altimeter setting}
  fuel_left: {value: 145 L}
"""
KNOWN = flight(DATA)
FACTS = """
callout: 1
quantities:
  v1: {value: 117 kt, name: decision speed}
facts: {icing: "no", night: "no", fuelling: "no"}
"""


def find(words: str) -> Given | None:
    fillers = default_commands().fillers
    return find_given(words, KNOWN.quantities, KNOWN, default_tables(), fillers)


@pytest.mark.parametrize(
    ("words", "name", "number"),
    [
        ("set rotation speed to seven eight", "rotate_speed", "78"),
        ("Rotation speed is 78 knots.", "rotate_speed", "78"),
        ("please set rotate speed to seventy eight", "rotate_speed", "78"),
        ("V1 is one two five", "v1", "125"),
        ("v one is one two five knots", "v1", "125"),
        ("decision speed equals 125 kt", "v1", "125"),
        ("altimeter setting is one zero zero niner", "qnh", "1009"),
        ("set transponder code to four two seven two", "squawk", "4272"),
        ("fuel left is 150 litres", "fuel_left", "150"),
    ],
)
def test_a_quantity_is_stated_by_name_and_value(words: str, name: str, number: str) -> None:
    assert find(words) == Given(name, Decimal(number))


@pytest.mark.parametrize(
    "words",
    [
        "rotation speed",
        "rotation speed seven eight",
        "rotation speed is",
        "rotation speed is alive",
        "rotation speed is seven eight or eight seven",
        "rotation speed is 78 hectopascals",
        "transponder code is four two seven",
        "landing speed is 90",
        "he said rotation speed is seven eight",
        "is rotation speed seven eight",
        "the flap is five",
        "to 78",
        "",
        "set",
        "set to is",
    ],
)
def test_anything_else_is_no_statement(words: str) -> None:
    assert find(words) is None


def test_it_is_read_back_by_its_name() -> None:
    assert told_given(Given("rotate_speed", Decimal("78")), KNOWN) == "Rotation speed: 78 kt."
    assert told_given(Given("squawk", Decimal("4272")), KNOWN) == "Transponder code: 4272."


def at_data() -> Desk:
    made = desk(FACTS).start().type("passed")
    assert made.spoken == "Take-off data?"
    return made


def given(made: Desk) -> list[tuple[str, Decimal]]:
    return [(x.given.name, x.given.number) for x in made.records if isinstance(x, r.QuantityStated)]


def test_a_typed_quantity_changes_what_is_expected_later() -> None:
    made = at_data().type("set decision speed to one two five")
    assert given(made) == [("v1", Decimal(125))]
    assert "Decision speed: 125 kt." in made.spoken
    made.type("compared").type("one one seven")
    assert made.state.progress.items[4].mismatches == 1
    made.type("one two five")
    assert made.state.progress.items[4].outcome is ItemOutcome.ANSWERED
    made.check()


def test_a_heard_quantity_counts_only_once_it_is_confirmed() -> None:
    made = at_data().say("decision speed is one two five", sure=False)
    assert made.state.progress.question is Question.QUANTITY
    assert "Decision speed: 125 kt. Is that right? Yes or no?" in made.spoken
    assert given(made) == []
    made.say("yes")
    assert given(made) == [("v1", Decimal(125))]
    assert made.state.progress.question is None
    made.check()


@pytest.mark.parametrize("answer", ["no", "negative"])
def test_a_quantity_read_back_and_refused_changes_nothing(answer: str) -> None:
    made = at_data().say("decision speed is one two five", sure=False).say(answer)
    assert given(made) == []
    assert made.state.progress.item is not None
    assert made.state.progress.item.id == "data"
    assert made.state.context.setting is not None
    made.say("compared").say("one one seven")
    assert made.state.progress.items[4].outcome is ItemOutcome.ANSWERED
    made.check()


def test_silence_after_the_read_back_changes_nothing() -> None:
    made = at_data().say("decision speed is one two five", sure=False).wait()
    assert given(made) == []
    assert made.state.progress.question is None
    made.check()


def test_at_the_item_that_answers_with_it_the_words_are_a_reply() -> None:
    """A wrong value said in a sentence must not become the right one."""
    made = at_data().type("compared")
    assert made.spoken == "Decision speed?"
    for words in ("decision speed is one two five", "set decision speed to one two five"):
        made.type(words).say(words).say(words, sure=False)
    assert given(made) == []
    judged = [x.verdict for x in made.records if isinstance(x, r.Replied) and x.item_id == "speed"]
    assert Verdict.MATCH not in judged
    made.type("decision speed is one one seven")
    assert made.state.progress.items[4].outcome is ItemOutcome.ANSWERED
    made.check()


def test_a_quantity_survives_a_restart() -> None:
    made = at_data().type("set decision speed to one two five")
    assert replay_list(made.records) == made.state.progress
    made.type("compared").say("one two five")
    assert made.state.progress.items[4].outcome is ItemOutcome.ANSWERED


def test_while_held_a_typed_quantity_counts_and_the_hold_stays() -> None:
    made = at_data().key("space").type("v1 is 125")
    assert given(made) == [("v1", Decimal(125))]
    assert made.state.progress.held
    made.check()


def test_no_spoken_command_states_a_quantity() -> None:
    groups = default_commands().phrases()
    texts = [text for one in groups for text in ([one] if isinstance(one, str) else one)]
    assert len(texts) > 50
    assert [text for text in texts if find(text)] == []


def at_once() -> Desk:
    made = desk(FACTS, {"test": "done today at 06:40"}).start()
    assert made.state.progress.items[2].outcome is ItemOutcome.NOT_APPLICABLE
    return made


@pytest.mark.parametrize("way", ["type", "say", "key", "name"])
def test_what_was_done_before_can_be_asked_all_the_same(way: str) -> None:
    made = at_once()
    if way == "key":
        made.key("+")
    elif way == "name":
        made.type("do it anyway fire test")
    else:
        getattr(made, way)("do it anyway")
    assert made.spoken.endswith("Fire test?") or "Now required: Fire test." in made.spoken
    assert made.state.progress.items[2].open
    assert replay_list(made.records) == made.state.progress
    made.type("compared" if made.spoken.endswith("Take-off data?") else "passed")
    made.type("passed" if made.spoken.endswith("Fire test?") else "compared")
    assert made.state.progress.items[2].outcome is ItemOutcome.ANSWERED
    made.check()


def test_it_stays_wanted_when_the_set_up_changes() -> None:
    made = at_once().type("do it anyway").type("fuelling in progress")
    assert made.state.progress.plan.items[2].applicable
    made.check()


def test_nothing_left_out_or_another_name_changes_nothing() -> None:
    made = at_data().type("do it anyway")
    assert not [x for x in made.records if isinstance(x, r.WantedAgain)]
    other = at_once().type("do it anyway pitot heat")
    assert not [x for x in other.records if isinstance(x, r.WantedAgain)]
    assert other.state.progress.items[2].outcome is ItemOutcome.NOT_APPLICABLE
    other.check()


def test_a_quantity_stated_between_lists_or_in_one_holds_for_the_rest_of_the_flight() -> None:
    between = FlightDesk().start().type("set decision speed to one two five")
    between.type("power-up checklist", "on", "passed")
    kept = between.state.progress.given
    assert kept == (Given("v1", Decimal(125)),)
    inside = FlightDesk().start().type("power-up checklist", "on", "passed")
    inside.type("before start checklist")
    inside.type("v1 is 126")
    inside.type("compared", "complete", "on", "taxi checklist", "five", "one two five")
    assert inside.state.inner is not None
    assert inside.state.inner.progress.items[1].mismatches == 1
    inside.type("one two six")
    assert inside.state.progress.completed("taxi")
    assert inside.state.progress.given == (Given("v1", Decimal(126)),)
