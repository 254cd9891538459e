"""What is said against what is set: all combinations, and never a silent completion."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from callout.core.checklist_run import records as r
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.conversation import events as ev
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.gather import session_rows
from callout.core.model.verdict import Verdict
from callout.core.planning.proofs import PlannedProof, Watched
from callout.core.state.board import Board, Move
from callout.core.state.proving import Standing
from tests.core.session_kit import Desk, item, plan

BEACON = PlannedProof("beacon == on", {"beacon": Watched("beacon", None, ("off", "on"))})


def watching(proof: PlannedProof = BEACON, **facts: Any) -> Desk:
    made = Desk()
    made.plan = plan(
        items=(
            item("beacon", "Beacon", "on", wrong=("off",), proof=proof, **facts),
            item("doors", "Doors", "closed and locked"),
        )
    )
    context = replace(made.state.context, watches=True)
    made.state = replace(made.state, context=context)
    return made.start()


def told(made: Desk, value: str | None, age: float = 0.0) -> Desk:
    values = {} if value is None else {"beacon": value}
    return made.feed(ev.StateReported(made.stamp(), Board(values, made.now - age)))


def replied(made: Desk) -> r.Replied:
    return [x for x in made.records if isinstance(x, r.Replied)][-1]


def test_said_right_and_set_is_right() -> None:
    made = told(watching(), "on").say("on")
    assert (replied(made).verdict, replied(made).standing) == (Verdict.MATCH, Standing.SET)
    assert made.asking == "doors"


def test_said_right_and_not_set_is_said_at_once_and_asked_again() -> None:
    made = told(watching(), "off").say("on")
    kept = replied(made)
    assert (kept.verdict, kept.said, kept.standing) == (
        Verdict.MISMATCH, Verdict.MATCH, Standing.NOT_SET,
    )  # fmt: skip
    assert made.spoken == "You said on; the beacon is off. Beacon?"
    assert made.asking == "beacon"
    done = told(made.quiet_voice(), "on").say("on")
    assert done.asking == "doors"
    progress = replay_list(done.records)
    assert progress.items[0].outcome is ItemOutcome.ANSWERED
    assert (progress.items[0].not_set, progress.items[0].mismatches) == (1, 0)
    assert not progress.items[0].first_time
    _, (beacon, _) = session_rows(done.records)
    assert beacon.deviations == (Deviation.NOT_SET,)


def test_said_wrong_although_it_is_set_is_wrong_and_both_are_kept() -> None:
    made = told(watching(), "on").say("off")
    kept = replied(made)
    assert (kept.verdict, kept.said, kept.standing) == (Verdict.MISMATCH, None, Standing.SET)
    assert "The beacon is on." in made.spoken
    assert made.asking == "beacon"


@pytest.mark.parametrize(("value", "age"), [("on", 30.0), (None, 0.0), ("off", 30.0)])
def test_stale_or_missing_state_leaves_speech_alone_and_says_so(
    value: str | None, age: float
) -> None:
    made = told(watching(), value, age).say("on")
    assert (replied(made).verdict, replied(made).standing) == (Verdict.MATCH, Standing.UNKNOWN)
    assert "By speech alone" in made.spoken
    assert made.asking == "doors"


def test_a_stream_that_has_told_nothing_is_speech_alone() -> None:
    made = watching().say("on")
    assert replied(made).found == "the aircraft has sent nothing yet"


def test_without_a_stream_nothing_is_held_against_a_reply() -> None:
    made = Desk()
    made.plan = plan(items=(item("beacon", "Beacon", "on", proof=BEACON),))
    made.start().say("on")
    assert replied(made).standing is Standing.UNWATCHED
    assert "speech" not in made.spoken


def test_the_state_settles_in_silence_only_what_allows_it() -> None:
    for alone, settled in ((False, False), (True, True)):
        made = told(watching(replace(BEACON, alone=alone)), "on")
        made.now += 3.0
        told(made, "on")
        assert any(isinstance(x, r.Proved) for x in made.records) is settled
        assert (made.asking == "doors") is settled


def test_silence_settles_nothing_that_is_not_set_or_not_known() -> None:
    for value, age in (("off", 0.0), ("on", 30.0), (None, 0.0)):
        made = told(watching(replace(BEACON, alone=True)), value, age)
        made.now += 3.0
        told(made, value, age)
        assert not any(isinstance(x, r.Proved) for x in made.records)


def test_reports_alone_say_and_keep_nothing() -> None:
    made = watching()
    for value in ("off", "on", None, "off"):
        assert told(made, value).last == ()


@pytest.mark.parametrize("keeps_watch", [False, True])
def test_what_was_right_and_is_moved_again_is_asked_again_where_that_is_wished(
    keeps_watch: bool,
) -> None:
    made = told(watching(), "on")
    context = replace(made.state.context, keeps_watch=keeps_watch)
    made.state = replace(made.state, context=context)
    made.say("on")
    board = Board({"beacon": "off"}, made.now)
    made.feed(ev.StateReported(made.stamp(), board, (Move("beacon", "on", "off", made.now),)))
    assert ("Beacon is no longer as you said" in made.spoken) is keeps_watch
    assert (made.state.progress.items[0].outcome is None) is keeps_watch
    made.quiet_voice().say("closed and locked")
    assert (made.asking == "beacon") is keeps_watch
