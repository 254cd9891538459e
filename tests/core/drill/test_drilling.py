"""A drill, step by step."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import Disturbance, Suspended
from callout.core.conversation.sound import SoundNotice
from callout.core.conversation.view_model import Status
from callout.core.conversation.withholding import Reveal
from callout.core.drill import records as d
from callout.core.drill.drilling import drill_step
from callout.core.drill.events import DrillStarted
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Mode
from callout.core.drill.history import drill_done, drill_reviews, progress_lines
from callout.core.drill.records import Over
from callout.core.drill.state import replay_drill
from callout.core.drill.viewing import view_of_drill
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.core.model.heard import Heard
from tests.core.drill.drill_kit import Drill, exercises

RIGHT = {
    "beacon": "on",
    "pump": "on",
    "altimeter": "one zero one three",
    "doors": "closed and locked",
}


def _grades(drill: Drill) -> list[Grade]:
    return [r.grade for r in drill.records if isinstance(r, d.ExerciseGraded)]


def _right(drill: Drill) -> Drill:
    return drill.say(RIGHT[drill.asked.key.item_id])


def test_all_right_is_over_at_once_and_good() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    for _ in range(4):
        _right(drill)
    assert _grades(drill) == [Grade.RIGHT] * 4
    assert drill.summary is not None
    assert (drill.summary.over, drill.summary.first_time, drill.summary.again) == (Over.DONE, 4, ())


def test_a_wrong_reply_may_be_bettered_but_counts_and_comes_back() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    assert drill.asked.key.item_id == "beacon"
    drill.say("off")
    assert "this item wants" not in drill.said[-1]
    assert "Once more." in drill.said[-1]
    drill.say("on")
    assert _grades(drill) == [Grade.MISSED]
    for _ in range(3):
        _right(drill)
    assert drill.asked.key.item_id == "beacon"
    assert drill.said[-1].startswith("Right. Doors: closed and locked. Again.")
    drill.say("on")
    assert _grades(drill)[-1] is Grade.RIGHT
    assert drill.summary is not None
    assert [line.detail for line in drill.summary.again] == ["on, then right"]


def test_the_answer_is_told_after_a_second_wrong_reply() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("off").say("off")
    assert any(isinstance(r, d.ExerciseTold) for r in drill.records)
    assert "Beacon: on." in drill.said[-1]


def test_an_answer_never_told_stays_untold() -> None:
    pacing = Pacing(reveal=Reveal.NEVER)
    drill = Drill(exercises(Mode.CHALLENGE), pacing=pacing).say("off").say("off")
    assert _grades(drill) == [Grade.MISSED]
    assert not any(isinstance(r, d.ExerciseTold) for r in drill.records)
    assert all("Beacon: on" not in said for said in drill.said)
    drill.say("not known")
    assert _grades(drill) == [Grade.MISSED] * 2
    assert all(row.note == "" for row in view_of_drill(drill.state).rows)


def test_an_answer_is_told_at_once_where_that_is_asked_for() -> None:
    drill = Drill(exercises(Mode.CHALLENGE), pacing=Pacing(reveal=Reveal.ALWAYS))
    drill.say("off")
    assert 'this item wants "on"' in drill.said[-1]


def test_an_unclear_reply_does_not_tell_the_answer() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("roger")
    assert '"on"' not in drill.said[-1]
    assert "Please say what you see." in drill.said[-1]


def test_not_known_tells_the_answer() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("not known")
    assert _grades(drill) == [Grade.MISSED]
    assert drill.said[-1].startswith("Beacon: on.")


def test_an_exercise_comes_back_twice_at_most() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)[:1])
    for _ in range(3):
        drill.say("not known")
    assert drill.summary is not None
    assert _grades(drill) == [Grade.MISSED] * 3


def test_a_reply_too_fast_for_a_look_is_hard() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("on", after=0.3)
    assert _grades(drill) == [Grade.DOUBTFUL]
    assert "Too fast to have looked." in drill.said[-1]


def test_a_value_the_flight_has_is_said_first() -> None:
    drill = Drill(exercises(Mode.OUT_OF_CONTEXT))
    said = [exercise.spoken for exercise in drill.given if exercise.key.item_id == "altimeter"]
    assert said == ["Before start checklist. The flight has one zero one three. Altimeter?"]


def test_next_item_from_memory() -> None:
    drill = Drill(exercises(Mode.NEXT_ITEM))
    assert drill.said[-1].endswith("Which item comes first?")
    drill.say("fuel pump")
    assert "it comes later" in drill.said[-1]
    drill.say("beacon")
    assert "Beacon comes next." in drill.said[-1]
    assert "Which item comes after Beacon?" in drill.said[-1]
    drill.say("Fuel pump")
    assert _grades(drill) == [Grade.MISSED, Grade.RIGHT]


def _stated(drill: Drill, *, right: bool) -> None:
    """Go on to an exercise that states a state rightly, or wrongly."""
    while (drill.asked.then is None) is not right:
        drill.press("f5")


def _with_both() -> Drill:
    """Return a drill in which a right and a wrong state of the beacon are stated."""
    found = {}
    for seed in "abcdefgh":
        one = exercises(Mode.WRONG_STATE, seed)[0]
        found[one.then is None] = one
    return Drill((found[True], found[False]))


def test_a_right_state_is_right() -> None:
    drill = _with_both()
    assert drill.asked.prompt == "Beacon: on"
    assert drill.said[-1].endswith("Beacon: on. Right or wrong?")
    drill.say("right")
    assert _grades(drill) == [Grade.RIGHT]
    assert "It was right: Beacon, on." in drill.said[-1]


def test_a_right_state_called_wrong_is_a_slip() -> None:
    assert _grades(_with_both().say("wrong").say("right")) == [Grade.MISSED]


@pytest.mark.parametrize(
    "words", [("wrong", "on"), ("wrong, on",), ("on",), ("that is wrong", "on")]
)
def test_a_wrong_state_is_corrected(words: tuple[str, ...]) -> None:
    drill = _with_both()
    _stated(drill, right=False)
    assert drill.asked.prompt not in ("Beacon: on", "Beacon")
    for one in words:
        drill.say(one)
    assert _grades(drill) == [Grade.RIGHT]


def test_a_wrong_state_called_right_is_a_slip() -> None:
    drill = _with_both()
    _stated(drill, right=False)
    drill.say("right").say("wrong").say("on")
    assert _grades(drill) == [Grade.MISSED]


def test_a_wrong_state_wrongly_corrected_is_a_slip() -> None:
    drill = _with_both()
    _stated(drill, right=False)
    drill.say("wrong")
    assert "What should it be?" in drill.said[-1]
    drill.say("off").say("off")
    assert _grades(drill) == [Grade.MISSED]
    assert "Beacon should be on." in drill.said[-1]


def test_what_was_not_understood_does_not_count() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    for _ in range(5):
        drill.say("mumble", sure=False)
    assert not _grades(drill)
    assert any(isinstance(r, d.ExerciseLeft) for r in drill.records)


def test_an_unsure_right_reply_is_never_taken() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("on", sure=False)
    assert not _grades(drill)


def test_talk_to_others_is_a_side_remark() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("did you feed the cat today", sure=False)
    assert isinstance(drill.records[-1], d.DrillRemarked)
    assert drill.state.progress.tally.unclear == 0


def test_time_ends_it_after_the_exercise_under_way() -> None:
    drill = Drill(exercises(Mode.CHALLENGE), minutes=1.0)
    drill.now += 61
    _right(drill)
    assert drill.summary is not None
    assert drill.summary.over is Over.TIME
    assert _grades(drill) != []


def test_a_hold_stops_the_time() -> None:
    drill = Drill(exercises(Mode.CHALLENGE), minutes=1.0).press("space")
    drill.now += 600
    drill.say("continue")
    assert drill.state.progress.seconds_left(drill.now) > 50
    _right(drill)
    assert drill.summary is None


def test_nothing_is_answered_while_held() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).press("space").say("on").type("on")
    assert not _grades(drill)


def test_a_repeat_does_not_start_the_clock_of_the_answer_again() -> None:
    drill = Drill(exercises(Mode.CHALLENGE), pacing=Pacing(slow_s=30))
    first = drill.state.moment.timed_from
    assert first is not None
    drill.tick().say("say again", after=1.0)  # one repeat after silence, one by wish
    began = drill.now + 0.1
    drill.say(RIGHT[drill.asked.key.item_id], after=0.1)
    (told,) = [r for r in drill.records if isinstance(r, d.ExerciseAnswered)]
    assert told.seconds == pytest.approx(began - first)
    assert _grades(drill) == [Grade.RIGHT]
    drill.say(RIGHT[drill.asked.key.item_id], after=0.1)
    assert _grades(drill) == [Grade.RIGHT, Grade.DOUBTFUL]  # the next has a clock of its own


def test_silence_repeats_once() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    count = len(drill.said)
    drill.tick()
    assert len(drill.said) == count + 1
    assert drill.said[-1].endswith("Beacon?")
    assert drill.state.moment.reminded


def test_stop_ends_at_once_and_what_was_graded_counts() -> None:
    drill = _right(Drill(exercises(Mode.CHALLENGE))).say("stop")
    assert drill.summary is not None
    assert (drill.summary.over, drill.summary.settled) == (Over.STOPPED, 1)


def test_broken_off_keeps_what_was_graded() -> None:
    drill = _right(Drill(exercises(Mode.CHALLENGE)))
    drill.feed(ev.Interrupted(drill.stamp(), "keyboard"))
    assert drill.summary is not None
    assert drill.summary.over is None
    assert len(list(drill_reviews(drill.records))) == 1


def test_a_reply_to_the_exercise_before_is_too_late() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    before = drill.state.moment.listening
    _right(drill)
    count = len(drill.records)
    drill.feed(ev.HeardReply(drill.stamp(), before, Heard("on", "on", 1.0, True), drill.now))
    assert len(drill.records) == count


def test_the_ear_is_armed_for_what_is_asked() -> None:
    drill = Drill(exercises(Mode.CHALLENGE))
    listened = [effect for effect in drill.effects if isinstance(effect, e.Listen)]
    assert listened[-1].item_id == drill.state.moment.listening
    texts = {c.text for c in listened[-1].candidates.candidates}
    assert {"on", "off"} <= texts


def test_the_screen_never_shows_what_is_to_come() -> None:
    drill = Drill(exercises(Mode.NEXT_ITEM))
    for _ in range(4):
        shown = [effect.view for effect in drill.effects if isinstance(effect, e.Show)][-1]
        coming = {drill.given[n].answer for n in drill.state.progress.waiting}
        text = " ".join([shown.challenge, *(row.challenge + row.note for row in shown.rows)])
        assert not any(answer in text for answer in coming)
        assert {r.challenge for r in shown.rows if r.status is Status.PENDING} <= {"to come"}
        drill.say(drill.asked.answer)


def test_the_answer_of_what_comes_back_is_not_shown() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).say("not known")
    shown = [effect.view for effect in drill.effects if isinstance(effect, e.Show)][-1]
    assert (shown.rows[0].status, shown.rows[0].note) == (Status.DUE, "")


def test_quiet_says_nothing_more() -> None:
    drill = Drill(exercises(Mode.CHALLENGE)).press("f9")
    count = len(drill.said)
    _right(drill)
    assert len(drill.said) == count


def test_records_survive_the_way_to_the_disk() -> None:
    drill = Drill(exercises(None)).say("off").say("help").press("f5").say("a b c d e", sure=False)
    drill.feed(ev.AdapterFailed(drill.stamp(), "hearing", "gone"))
    drill.feed(ev.AdapterRecovered(drill.stamp(), "hearing")).say("not known").say("stop")
    for record in drill.records:
        assert from_plain(to_plain(record)) == record


def test_a_journal_that_names_an_exercise_there_is_none_of_is_read() -> None:
    records = Drill(exercises(Mode.CHALLENGE)).say("not known").say("stop").records
    odd = [replace(r, exercise=n) for n in (-1, 99) for r in records if hasattr(r, "exercise")]
    progress = replay_drill([records[0], *odd])
    assert progress.settled == 0
    assert not list(drill_reviews([records[0], *odd]))


def test_progress_is_told_from_the_second_drill_on() -> None:
    first = Drill(exercises(Mode.CHALLENGE)).say("not known").say("stop")
    second = _right(Drill(exercises(Mode.CHALLENGE))).say("stop")
    told = [drill_done(first.records), drill_done(second.records)]
    assert progress_lines(told[:1]) == []
    assert progress_lines(told)[0] == "Right first time in the last 2 drills: 0 %, 100 %."


def test_why_tells_the_reason_only_where_that_does_not_answer_the_exercise() -> None:
    plain, telling = "Others see that the engine turns.", "The beacon must be on."
    drill = Drill((replace(exercises(Mode.OUT_OF_CONTEXT)[0], why=plain),))
    assert drill.say("tell me why").said[-1] == f"{drill.asked.name}: {plain}"
    beacon = next(x for x in exercises(Mode.OUT_OF_CONTEXT) if x.answer == "on")
    told = Drill((replace(beacon, why=telling),)).say("tell me why").said[-1]
    assert told == "Answer first; the reason comes afterwards."


def test_why_after_an_answer_tells_of_the_item_answered_and_does_not_answer_the_next() -> None:
    first, second = exercises(Mode.NEXT_ITEM)[:2]
    drill = Drill((replace(first, why="It shows."), replace(second, why="It holds.")))
    told = drill.say("not known").say("tell me why").said[-1]
    assert told == f"{first.name}: It shows. Answer first; the reason comes afterwards."
    assert second.name not in told


WORDS = st.sampled_from(
    ["on", "off", "right", "wrong", "wrong, on", "not known", "skip", "hold", "continue", "stop",
     "help", "quiet", "slower", "what is left", "why", "beacon", "fuel pump", "1013", "banana", ""]
)  # fmt: skip
EVENTS = st.one_of(
    st.tuples(st.just("say"), WORDS, st.booleans()),
    st.tuples(st.just("type"), WORDS),
    st.tuples(st.just("press"), st.sampled_from(["space", "f5", "escape", "?", "left", "@", "x"])),
    st.tuples(st.just("tick")),
    st.tuples(st.just("other"), st.integers(0, 6)),
)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mode=st.sampled_from([None, *Mode]), events=st.lists(EVENTS, max_size=25))
def test_no_order_of_events_breaks_it(mode: Mode | None, events: list[tuple[object, ...]]) -> None:
    """The journal replays to the live state after every step (see the kit); nothing raises."""
    drill = Drill(exercises(mode), pacing=Pacing(tones=True))
    for event in events:
        _feed(drill, event)
    progress = drill.state.progress
    for tally in progress.tallies:
        assert len(tally.grades) <= tally.put <= 3
    ended = [r for r in drill.records if isinstance(r, d.DrillEnded | Suspended)]
    assert len(ended) <= 1
    assert bool(ended) == (drill.summary is not None)
    if ended:
        assert drill_step(drill.state, ev.Ticked(drill.stamp())) == (drill.state, ())


def _feed(drill: Drill, event: tuple[object, ...]) -> None:
    match event:
        case ("say", str(words), bool(sure)):
            drill.say(words, sure=sure)
        case ("type", str(words)):
            drill.type(words)
        case ("press", str(key)):
            drill.press(key)
        case ("tick",):
            drill.now += 9
            drill.feed(ev.Ticked(drill.stamp()))
        case ("other", int(number)):
            stamp = drill.stamp()
            drill.feed(
                (
                    ev.AdapterFailed(stamp, "voice", "gone", "doctor"),
                    ev.AdapterRecovered(stamp, "voice"),
                    ev.SpeechFinished(stamp, drill.state.moment.token),
                    ev.Interrupted(stamp, "keyboard"),
                    ev.ResumeAsked(stamp),
                    DrillStarted(stamp, "d2", exercises(None), 1.0),
                    ev.SoundDisturbed(stamp, SoundNotice(Disturbance.LOST, 3, "lost", told=True)),
                )[number]
            )


def test_the_same_seed_gives_the_same_drill() -> None:
    assert exercises(None, "x") == exercises(None, "x")
    assert any(exercises(Mode.WRONG_STATE, "x") != exercises(Mode.WRONG_STATE, s) for s in "yzw")


def test_a_hard_of_hearing_context_listens_for_nothing() -> None:
    drill = Drill(exercises(Mode.CHALLENGE), hears=False)
    listened = [effect for effect in drill.effects if isinstance(effect, e.Listen)]
    assert all(not one.candidates.candidates for one in listened)
    assert replace(drill.asked) == drill.asked
