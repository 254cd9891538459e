"""The set-up: asked for at the beginning, changed while a list is open, and done-once items."""

from __future__ import annotations

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.state import ItemOutcome, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.planning.plan_inputs import Setting
from callout.core.planning.run_plan import Before
from callout.core.understanding.fact_phrases import FactStatement, find_statement
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
  - {id: pitot, challenge: Pitot heat, response: "on", when: icing or night}
  - {id: hose, challenge: Fuel hose, response: clear, when: fuelling}
  - {id: test, challenge: Fire test, response: passed, once: day}
  - {id: data, challenge: Take-off data, response: compared, produces: v1}
  - {id: speed, challenge: Decision speed, response: "{v1}", needs: v1}
  - {id: ice, challenge: Engine anti-ice, response: ["on", "off"], as_required: yes}
"""
FLIGHT = """
callout: 1
quantities:
  v1: {value: 117 kt, name: decision speed}
facts:
  icing: {is: unknown, ask: "Are icing conditions expected?"}
  night: {is: unknown, ask: "Is it night?"}
  fuelling: {is: "yes", said_yes: fuelling in progress, said_no: fuelling complete}
"""


def desk(data: str = FLIGHT, done: dict[str, str] | None = None) -> Desk:
    setting = Setting(written(LIST), flight(data), 1, Before(done=done or {}))
    made = Desk()
    made.plan = setting.plan({}, made.state.context.tables)
    context = made.state.context
    made.state = SessionState(type(context)(
        context.commands, context.tables, context.pacing, context.find_candidates, True, "test",
        setting,
    ))  # fmt: skip
    return made


def stated(made: Desk) -> list[tuple[str, bool | None]]:
    return [(x.fact, x.state) for x in made.records if isinstance(x, r.Stated)]


def test_what_the_set_up_leaves_open_is_asked_before_the_first_item() -> None:
    made = desk().start()
    said = " ".join(x.text for x in made.effects if isinstance(x, e.Say))
    assert said == "Before start. Are icing conditions expected?"
    made.say("negative")
    assert made.spoken == "Icing: no. Is it night?"
    made.type("yes")
    assert made.spoken == "Night: yes. Pitot heat?"
    assert stated(made) == [("icing", False), ("night", True)]
    made.check()


def test_a_fact_that_no_longer_matters_is_not_asked() -> None:
    made = desk().start().say("yes")  # icing: night decides nothing any more
    assert made.spoken == "Icing: yes. Pitot heat?"
    made.check()


def test_not_known_leaves_the_item_asked() -> None:
    made = desk().start().say("not known").say("don't know")
    assert made.spoken == "Pitot heat?"
    assert stated(made) == [("icing", None), ("night", None)]


def test_other_words_to_a_question_are_asked_again_and_controls_still_work() -> None:
    made = desk().start().say("perhaps")
    assert made.spoken == "Are icing conditions expected?"
    assert made.say("hold").asking == "@hold"
    made.say("continue")
    assert made.asking == "@fact"
    made.check()


@pytest.mark.parametrize(
    ("words", "state"),
    [
        ("it is night", True),
        ("It's night.", True),
        ("night", True),
        ("night, yes", True),
        ("yes, night", True),
        ("it is not night", False),
        ("not night", False),
        ("no night", False),
        ("it isn't night", False),
    ],
)
def test_a_fact_is_answered_in_everyday_words(words: str, state: bool) -> None:
    made = desk().start().say("no").say(words)
    assert stated(made)[-1] == ("night", state)


@pytest.mark.parametrize("words", ["it might be night", "night soon", "is it night"])
def test_words_that_only_look_like_an_answer_are_none(words: str) -> None:
    made = desk().start().say("no")
    before = stated(made)
    made.type(words)
    assert made.asking == "@fact"
    assert stated(made) == before


def test_a_question_missed_twice_tells_what_would_be_an_answer() -> None:
    made = desk().start().say("perhaps")
    assert made.spoken == "Are icing conditions expected?"
    made.say("perhaps not")
    hint = 'Say "yes", "no" or "not known".'
    assert made.spoken == f"{hint} Are icing conditions expected?"
    assert made.state.moment.sentence.startswith(hint)
    made.say("no").say("maybe")
    assert made.spoken == "Is it night?", "each question begins anew"


def test_the_answers_in_a_sentence_are_listened_for() -> None:
    made = desk().start().say("no")
    listened = [
        c.text for x in made.effects if isinstance(x, e.Listen) for c in x.candidates.candidates
    ]
    assert {"it is night", "it is not night"} <= set(listened)


def test_the_question_survives_a_resume() -> None:
    made = desk().start()
    again = desk()
    again.effects = list(made.effects)
    again.state = SessionState(again.state.context, made.state.progress)
    again.feed(ev.ResumeAsked(again.stamp())).settled()
    assert again.spoken.endswith("Are icing conditions expected?")
    again.say("no").say("no")
    assert again.asking == "hose"
    again.check()


def test_fuelling_complete_drops_what_hangs_on_it_and_says_so() -> None:
    made = desk().start().say("yes")
    made.say("fuelling complete")
    assert made.outcomes()["hose"] == ItemOutcome.NOT_APPLICABLE.value
    assert made.spoken == "Fuelling: no. Not applicable: Fuel hose. Pitot heat?"
    assert "Not applicable: Fuel hose." in made.state.moment.sentence
    made.say("on")
    assert made.asking == "test"
    made.say("fuelling in progress")
    assert made.spoken == "Fuelling: yes. Now required: Fuel hose. Fire test?"
    assert made.outcomes()["hose"] == "open"
    made.check()


def test_the_item_being_asked_may_fall_away() -> None:
    made = desk().start().say("yes").say("on")
    assert made.asking == "hose"
    made.say("fuelling complete")
    assert made.asking == "test"
    assert made.spoken == "Fuelling: no. Not applicable: Fuel hose. Fire test?"
    made.check()


def test_the_set_up_changes_during_a_hold_without_ending_it() -> None:
    made = desk().start().say("yes").say("hold").say("fuelling complete")
    assert made.asking == "@hold"
    assert made.outcomes()["hose"] == ItemOutcome.NOT_APPLICABLE.value
    made.check()


def test_a_right_reply_is_never_taken_for_a_change_of_the_set_up() -> None:
    data = FLIGHT.replace("fuelling complete", "clear")
    made = desk(data).start().say("yes").say("on").say("clear")
    assert made.outcomes()["hose"] == ItemOutcome.ANSWERED.value
    assert stated(made) == [("icing", True)]


def test_words_that_are_not_sure_change_nothing() -> None:
    made = desk().start().say("yes").say("fuelling complete", sure=False)
    assert stated(made) == [("icing", True)]


def test_the_set_up_is_shown_with_how_to_change_it() -> None:
    made = desk().start().say("yes").say("set up")
    assert made.state.moment.lines == ("icing: yes", "night: not known", "fuelling: yes")
    assert 'for example "icing, yes"' in made.spoken
    assert made.asking == "pitot"


def test_facts_are_found_as_whole_statements_only() -> None:
    known = flight(FLIGHT)
    fillers = ("please", "okay")
    assert find_statement("Fuelling complete, please", known, fillers) == FactStatement(
        "fuelling", False
    )
    assert find_statement("night, yes", known, fillers) == FactStatement("night", True)
    for words in ("night", "yes", "fuelling", "fuelling not complete", "is it night yes", ""):
        assert find_statement(words, known, fillers) is None, words


def test_an_item_done_today_is_named_and_not_asked() -> None:
    made = desk(done={"test": "done today at 06:40"}).start().say("yes").say("on").say("clear")
    assert made.asking == "data"
    assert made.outcomes()["test"] == ItemOutcome.NOT_APPLICABLE.value
    news = [line for x in made.effects if isinstance(x, e.Show) for line in x.news]
    assert "Fire test: done today at 06:40." in news


def test_a_value_waits_for_the_item_that_makes_it_known() -> None:
    made = desk().start().say("yes").say("on").say("clear").say("passed")
    made.say("come back to that")  # the take-off data, later
    assert made.asking == "speed"
    missing = "Not known yet: decision speed (from Take-off data)."
    assert missing in made.spoken
    made.say("one one seven knots")
    assert made.outcomes()["speed"] == "open"
    assert missing in made.spoken
    made.say("come back to that").say("off").say("compared")
    assert made.asking == "speed"
    assert made.spoken == "Decision speed?"
    made.say("one one seven knots")
    assert made.outcomes()["speed"] == ItemOutcome.ANSWERED.value
    made.check()


def test_as_required_asks_for_the_state_chosen() -> None:
    """Published guidance asks for the actual status, not "as required" (FAA AC 120-71B, 5.4)."""
    made = desk().start().say("yes").say("on").say("clear").say("passed").say("compared")
    made.say("one one seven knots").say("as required")
    assert made.asking == "ice"
    assert made.outcomes()["ice"] == "open"
    made.say("as required, off")
    assert made.outcomes()["ice"] == ItemOutcome.ANSWERED.value
