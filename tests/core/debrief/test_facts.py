"""Rows from journals, against what was done in the session."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import timedelta

import pytest

from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation import records as c
from callout.core.conversation.pacing import Challenger, Pacing
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ReplyFact
from callout.core.debrief.gather import flight_row, gather_facts, phase_of, session_rows
from callout.core.debrief.timeline import MarkKind, SpanKind, timeline_of
from callout.core.debrief.usual_times import quartiles_of, usual_times
from callout.core.flight_run import records as s
from callout.core.keeping.record_codec import to_plain
from callout.core.model.checklist import Phase
from callout.core.model.utterance import typed_utterance
from callout.core.model.verdict import Verdict
from tests.core.session_kit import BEGAN, Desk, plan


def rough_session() -> list[c.JournalRecord]:
    """Wrong and then right; a hold; a skip with its reason; a deferral; one answer too fast."""
    desk = Desk().start().say("off", after=2.0).say("on", after=1.5)
    desk.say("hold", after=1.0)
    desk.now += 60.0
    desk.say("continue", after=0.5).say("skip, inoperative", after=3.0)
    desk.say("come back to that").say("closed and locked", after=0.4).say("mumble", sure=False)
    return desk.say("1013", after=4.0).records


def test_items_say_what_was_done() -> None:
    session, items = session_rows(rough_session())
    by_id = {i.item_id: i for i in items}
    beacon = by_id["beacon"]
    assert (beacon.tries, beacon.mismatches, beacon.first_time) == (2, 1, False)
    assert [(h.words, h.verdict.value) for h in beacon.heard] == [
        ("off", "mismatch"),
        ("on", "match"),
    ]
    assert beacon.deviations == (Deviation.MISMATCHED,)
    assert by_id["pump"].skip_reason == "inoperative"
    assert by_id["pump"].critical
    assert by_id["pump"].deviations == (), "what is inoperative was not left out by a person"
    assert by_id["altimeter"].deferred
    assert by_id["altimeter"].round == 1
    assert by_id["altimeter"].deviations == ()
    assert by_id["doors"].fast
    assert by_id["doors"].deviations == (Deviation.TOO_FAST,)
    assert by_id["doors"].reply_seconds == pytest.approx(0.25 + 0.4), "from the end of the voice"
    assert by_id["anti-ice"].outcome is ItemOutcome.NOT_APPLICABLE
    assert not by_id["anti-ice"].met
    assert (session.holds, session.skipped, session.deferred) == (1, 1, 1)
    assert session.hold_seconds == pytest.approx(60.5, abs=3)
    assert session.call
    assert session.deviations == ()


def test_counts_are_those_of_the_summary() -> None:
    """The summary works on the progress alone; the rows go through the records once more."""
    records = rough_session()
    session, items = session_rows(records)
    summary = summarise_list(replay_list(records))
    assert session.items == summary.total
    assert session.first_time == summary.first_time == sum(i.first_time for i in items)
    assert session.mismatches == summary.mismatch_count == sum(i.mismatches for i in items)
    assert session.unclear == sum(i.unclear for i in items)
    assert session.minutes == pytest.approx(summary.minutes)
    assert {i.item_id for i in items if i.skipped} == {x.item_id for x in summary.skipped}
    assert {i.item_id for i in items if i.fast} == {x.item_id for x in summary.fast}


def test_counts_are_those_of_plain_sql_over_the_journal() -> None:
    """The lines of the journal, counted by SQLite's JSON functions, not by our own code."""
    records = rough_session()
    base = sqlite3.connect(":memory:")
    base.execute("create table line (j text)")
    base.executemany("insert into line values (?)", [(json.dumps(to_plain(x)),) for x in records])
    replies = base.execute(
        "select j ->> 'item_id', count(*), sum(j ->> 'verdict' = 'mismatch'),"
        " sum(j ->> 'verdict' = 'unclear') from line where j ->> 'type' = 'replied' group by 1"
    ).fetchall()
    first = dict(
        base.execute(
            "select j ->> 'item_id', j ->> 'seconds' from line where j ->> 'type' = 'replied'"
            " group by 1 having min(j ->> 'seq')"
        ).fetchall()
    )
    base.close()
    _, items = session_rows(records)
    mine = sorted((i.item_id, i.tries, i.mismatches, i.unclear) for i in items if i.tries)
    assert mine == sorted(replies)
    assert {i.item_id: i.reply_seconds for i in items if i.tries} == pytest.approx(first)


def test_time_at_items_holds_and_questions_adds_up() -> None:
    records = rough_session()
    session, items = session_rows(records)
    timeline = timeline_of(records)
    spans = sum(x.end - x.begin for x in timeline.spans)
    at_items = sum(i.total_seconds for i in items)
    held = sum(x.end - x.begin for x in timeline.spans if x.doing is SpanKind.HOLD)
    asked = sum(x.end - x.begin for x in timeline.spans if x.doing is SpanKind.QUESTION)
    assert at_items + held + asked == pytest.approx(spans)
    assert held == pytest.approx(session.hold_seconds)
    assert spans <= timeline.end + 1e-9
    moments = [m.moment for m in timeline.marks]
    assert moments.count(MarkKind.WRONG) == 1
    assert moments.count(MarkKind.SKIPPED) == moments.count(MarkKind.DEFERRED) == 1


def test_a_break_is_told_with_its_length() -> None:
    desk = Desk().start().say("on")
    last = desk.records[-1]
    broken = c.Suspended("keyboard").written(last.seq + 1, last.utc, last.at)
    later = last.utc + timedelta(hours=2)
    resumed = c.Resumed().written(last.seq + 2, later, last.at)
    (mark,) = [
        m for m in timeline_of([*desk.records, broken, resumed]).marks if m.moment is MarkKind.BREAK
    ]
    assert mark.asleep == 7200
    session, _ = session_rows([*desk.records, broken])
    assert session.deviations == (Deviation.INCOMPLETE,)
    assert session.ending is None


def test_a_stopped_list_omits_nothing_but_is_incomplete() -> None:
    desk = Desk().start().say("on").say("stop").say("yes")
    session, items = session_rows(desk.records)
    assert session.deviations == (Deviation.INCOMPLETE,)
    assert not [i for i in items if i.deviations]


def test_items_that_a_person_challenges_early_are_out_of_order() -> None:
    """Two people, one of whom challenges: the tool keeps what was passed over."""
    desk = Desk(pacing=Pacing(challenger=Challenger.PERSON)).start()
    desk.say("beacon").say("on").say("doors").say("closed and locked")
    desk.say("fuel pump").say("on").say("altimeter").say("one zero one three")
    session, items = session_rows(desk.records)
    by_id = {i.item_id: i for i in items}
    assert by_id["doors"].out_of_order
    assert by_id["doors"].deviations == (Deviation.OUT_OF_SEQUENCE,)
    assert {i.item_id for i in items if i.passed_over} == {"pump", "altimeter"}
    assert session.out_of_order == 1


def test_a_transcript_that_differs_in_words_is_told_apart() -> None:
    def reply(text: str, transcript: str) -> str:
        return ReplyFact(0.0, text, transcript, Verdict.MATCH, "", "").taken_as

    assert reply("closed and locked", "Closed, and locked.") == ""
    assert reply("1013 hPa", "ten thirteen") == "1013 hPa"
    assert reply("", "mumble") == ""


def test_a_list_knows_its_phase_or_an_older_one_its_name() -> None:
    assert phase_of(plan(phase=Phase.TAXI)) == "taxi"
    assert phase_of(plan()) == "before-start"
    assert phase_of(replace(plan(), list_id="oxygen")) == ""


def _flight() -> list[c.JournalRecord]:
    lists = tuple(s.ListName(x, f"List {x.upper()}") for x in "abcd")
    about = {"crew": "Trainee Ash", "aircraft": "Wren", "operator": "Fen Club"}
    return [
        s.SectorBegan("f1", "m", "Short hop", lists, about=about, seq=1, utc=BEGAN, at=0.0),
        s.ListCalled("a", "s0", typed_utterance("list a"), seq=2, utc=BEGAN, at=1.0),
        s.ListCalled("c", "s1", typed_utterance("list c"), warned=("b",), seq=3, utc=BEGAN, at=2.0),
        s.SectorEnded(("List B", "List C", "List D"), seq=4, utc=BEGAN, at=9.0),
    ]


def test_a_flight_names_lists_called_early_and_never() -> None:
    (flight,) = gather_facts([], [flight_row(_flight())]).flights
    assert flight.never_started == ("List B",), "List D comes after the last one called for"
    assert flight.deviations == (Deviation.WRONG_TIME, Deviation.NEVER_STARTED)
    assert flight.person == "Trainee Ash"


def test_a_list_takes_person_and_operator_from_its_flight() -> None:
    about = {"crew": "Trainee Ash", "operator": "Fen Club"}
    session, items = session_rows(rough_session(), about)
    session = replace(session, session_id="s1")
    assert (session.person, session.operator) == ("Trainee Ash", "Fen Club")
    assert {i.person for i in items} == {"Trainee Ash"}
    facts = gather_facts([(session, items)], [flight_row(_flight())])
    assert facts.sessions[0].deviations == (Deviation.WRONG_TIME,)


def test_a_drill_says_nothing_of_how_far_a_flight_came() -> None:
    session, items = session_rows(rough_session(), {"sector": "f1"})
    drill = replace(session, session_id="s1", list_id="c", phase=Phase.NON_NORMAL.value)
    (flight,) = gather_facts([(drill, items)], [flight_row(_flight())]).flights
    assert flight.never_started == ()


def test_what_is_usual_comes_from_earlier_sessions_of_the_same_person() -> None:
    rows = []
    for day in range(8):
        session, items = session_rows(rough_session())
        began = BEGAN + timedelta(days=day)
        person = "Trainee Ash" if day != 3 else "Trainee Oak"
        session = replace(session, session_id=f"s{day}", began=began, person=person)
        rows.append((session, tuple(replace(i, session_id=f"s{day}") for i in items)))
    facts = gather_facts(rows, [])
    found = usual_times(facts, facts.sessions[6])
    assert found["beacon"].count == 5
    assert usual_times(facts, facts.sessions[4]) == {}, "four earlier ones are too few"


def test_quartiles_and_fences_are_those_of_numpy() -> None:
    """Tukey, Exploratory Data Analysis (1977): outside is 1.5 interquartile ranges away."""
    import numpy as np

    times = [1.2, 1.4, 1.5, 1.9, 2.0, 2.2, 3.1]
    found = quartiles_of(times)
    low, middle, high = np.quantile(times, [0.25, 0.5, 0.75])
    assert (found.low, found.median, found.high) == pytest.approx((low, middle, high))
    fence = high + 1.5 * (high - low)
    assert found.says(fence + 0.01) == "slower than usual"
    assert found.says(fence - 0.01) == ""
    assert found.says(low - 1.5 * (high - low) - 0.01) == "faster than usual"
