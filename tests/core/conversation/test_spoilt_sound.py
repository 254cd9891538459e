"""Spoilt sound is kept, shown and counted, and changes nothing else."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Progress, SessionState
from callout.core.checklist_run.summary import summarise_list
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.records import Disturbance, Disturbed
from callout.core.conversation.sound import UNSPOILT, SoundNotice, SoundTally
from callout.core.conversation.view_model import Doing
from callout.core.debrief.gather import session_rows
from callout.core.debrief.session import debrief_of
from callout.core.debrief.timeline import MarkKind, timeline_of
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.summary import summary_of_records
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.terminal.report import report_lines
from callout.terminal.telling import journal_lines
from tests.core.drill.drill_kit import Drill, exercises
from tests.core.flight_kit import FlightDesk
from tests.core.session_kit import Desk

LOUD = SoundNotice(Disturbance.OVERLOADED, 1, "Turn it down.", 0.04, told=True)
MORE = replace(LOUD, told=False)
CALM = SoundNotice(Disturbance.OVERLOADED, 0, "No longer.", told=True, over=True)
FAINT = SoundNotice(Disturbance.FAINT, 2, "Come closer.", -50.0, told=True)
LOST = SoundNotice(Disturbance.LOST, 12, "12 blocks were lost.", told=True)
LINE = "  Sound: the microphone overloaded twice; the voice was faint twice; 12 blocks were lost."


def bare(progress: Progress) -> Progress:
    """Return what is left when the records themselves, and the sound, are not looked at."""
    return replace(progress, seq=0, at=0.0, sound=UNSPOILT)


def told_of(desk: Desk, *notices: SoundNotice) -> Desk:
    for notice in notices:
        desk.feed(ev.SoundDisturbed(desk.stamp(), notice))
    return desk


def test_it_is_kept_first_then_shown_and_interrupts_nothing() -> None:
    desk = Desk().start()
    before = desk.state
    told_of(desk, LOUD)
    kept, shown = desk.last
    assert isinstance(kept, e.Record)
    assert isinstance(kept.record, Disturbed)
    assert isinstance(shown, e.Show)
    assert shown.news == ("Turn it down.",)
    assert [t.message for t in shown.view.troubles] == ["Turn it down."]
    assert shown.view.doing is Doing.LISTENING
    after = replace(desk.state.moment, troubles=())
    assert after == before.moment, "neither voice nor ear have been touched"
    assert bare(desk.state.progress) == bare(before.progress)
    desk.say("on").check()
    assert summarise_list(desk.state.progress).first_time == 1


def test_it_is_told_once_but_counted_each_time() -> None:
    desk = told_of(Desk().start(), LOUD, MORE)
    assert desk.last[1:] == (), "no line, and the screen is as it was"
    assert desk.state.progress.sound == SoundTally(overloaded=2)
    told_of(desk, CALM)
    assert [x.view.troubles for x in desk.last if isinstance(x, e.Show)] == [()]
    desk.check()


def test_kinds_stand_beside_each_other_on_the_screen() -> None:
    desk = told_of(Desk().start(), LOUD, FAINT, replace(LOST, count=3), CALM)
    assert [words for _, words in desk.state.moment.troubles] == [FAINT.message, LOST.message]


@pytest.mark.parametrize("state", ["hold", "stop", "skip", "what is left"])
def test_questions_and_holds_stay_as_they_are(state: str) -> None:
    desk = Desk().start().say(state)
    before = bare(desk.state.progress)
    told_of(desk, LOUD, CALM)
    assert not any(isinstance(x, e.Listen | e.StopListening | e.Say | e.Hush) for x in desk.last)
    assert bare(desk.state.progress) == before


def test_the_silence_after_a_challenge_goes_on() -> None:
    desk = Desk().start()
    assert desk.state.moment.asked_at is not None
    due = desk.state.moment.asked_at
    desk.now += 3.0
    told_of(desk, LOUD)
    assert desk.state.moment.asked_at == due


def test_a_journal_is_taken_up_where_it_was_and_the_count_goes_on() -> None:
    desk = told_of(Desk().start().say("on"), LOUD, LOST)
    lines = [json.dumps(to_plain(record)) for record in desk.records]
    back = replay_list([from_plain(json.loads(line)) for line in lines])
    assert back == desk.state.progress
    again = Desk()
    again.effects = [e.Record(record) for record in desk.records]
    again.state = SessionState(again.state.context, back)
    again.now = desk.now
    again.feed(ev.ResumeAsked(again.stamp())).settled()
    assert again.asking == "pump"
    assert again.state.moment.troubles == (), "the microphone of another day"
    told_of(again, LOUD).say("on").check()
    assert again.state.progress.sound == SoundTally(overloaded=2, lost=12)


def test_the_summary_and_the_debrief_have_one_line() -> None:
    desk = told_of(Desk().start(), LOUD, MORE, FAINT, LOST).say("on").say("stop").say("yes")
    lines = list(report_lines(summarise_list(desk.state.progress)))
    assert lines.count(LINE) == 1
    session, items = session_rows(desk.records)
    timeline = timeline_of(desk.records)
    advice = [a.text for a in debrief_of(session, items, timeline, {}).advice]
    assert f"{LINE.strip()} callout mic shows what to change." in advice
    spoilt = [(m.item_id, m.words) for m in timeline.marks if m.moment is MarkKind.SPOILT]
    assert spoilt == [("beacon", n.message) for n in (LOUD, FAINT, LOST)]
    assert not any(
        "Sound" in x for x in report_lines(summarise_list(Desk().start().state.progress))
    )


def test_a_replayed_journal_says_what_and_how_much() -> None:
    desk = told_of(Desk().start(), LOUD, LOST, CALM)
    lines = [line[10:] for line in journal_lines(desk.records)]
    assert "Sound overloaded (1 utterance). Turn it down." in lines
    assert "Sound lost (12 blocks). 12 blocks were lost." in lines
    assert "Sound better. No longer." in lines


def test_a_flight_counts_between_its_lists_and_within_them() -> None:
    desk = FlightDesk().start()
    desk.feed(ev.SoundDisturbed(desk.stamp(), LOUD))
    desk.type("power-up checklist")
    assert desk.state.inner
    assert [words for _, words in desk.state.inner.moment.troubles] == [LOUD.message]
    desk.feed(ev.SoundDisturbed(desk.stamp(), LOST))
    desk.type("on", "passed")
    assert desk.state.progress.sound == SoundTally(overloaded=1, lost=12)
    assert {part for part, _ in desk.state.moment.troubles} == {"overloaded", "lost"}
    own, lists = desk.journals()
    assert replay_sector(own) == desk.state.progress
    assert [sum(isinstance(x, Disturbed) for x in records) for records in lists.values()] == [1]
    sound = "  Sound: the microphone overloaded once; 12 blocks were lost."
    assert sound in report_lines(summary_of_records(own))
    assert any("Sound overloaded" in line for line in journal_lines(own))


def test_a_drill_counts_too_and_grades_nothing_by_it() -> None:
    drill = Drill(exercises(None))
    before = replace(drill.state.progress, seq=0, at=0.0)
    drill.feed(ev.SoundDisturbed(drill.stamp(), FAINT))
    assert replace(drill.state.progress, seq=0, at=0.0, sound=UNSPOILT) == before
    assert drill.state.moment.troubles == (("faint", "Come closer."),)
    assert any("Sound faint (2 utterances)" in line for line in journal_lines(drill.records))
    drill.say("stop")
    finish = next(x for x in drill.effects if isinstance(x, e.Finish))
    assert "  Sound: the voice was faint twice." in report_lines(finish.summary)


def test_a_device_that_is_back_is_told_as_it_was_told_to_be_gone() -> None:
    desk = Desk().start()
    desk.feed(ev.AdapterFailed(desk.stamp(), "hearing", "The microphone is gone.", "Plug it in."))
    desk.feed(ev.AdapterRecovered(desk.stamp(), "hearing"))
    shown = next(x for x in desk.last if isinstance(x, e.Show))
    assert (shown.news, shown.view.troubles) == (("The microphone is back.",), ())
    assert any(isinstance(x, e.Listen) for x in desk.last), "what was under way is forgotten"


COUNTS = st.integers(-(10**30), 10**30)


@given(st.lists(st.tuples(st.sampled_from(Disturbance), COUNTS), max_size=5))
def test_whatever_a_journal_counts_the_tally_fits_a_table(counts: list[tuple[str, int]]) -> None:
    tally = UNSPOILT
    for what, count in counts:
        record = Disturbed(1, Desk().stamp().utc, 0.0, Disturbance(what), count)
        tally = tally.after(record)
    assert all(0 <= n < 2**31 for n in (tally.overloaded, tally.faint, tally.lost))
    assert bool(tally.words) == (tally != UNSPOILT)
