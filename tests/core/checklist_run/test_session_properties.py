"""What must hold of a session whatever happens, in whatever order."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.checklist_run import records as r
from callout.core.checklist_run.arming import target_of
from callout.core.checklist_run.causes import Choice, Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.session import list_deadline, list_step
from callout.core.checklist_run.state import ItemOutcome, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Challenger, CompletionBy, FlowMode, Pacing
from callout.core.conversation.records import Disturbance
from callout.core.conversation.sound import UNSPOILT, SoundNotice
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import Plan
from tests.core.session_kit import Desk, flow_list, plan, two_seats

PLANS = (plan(), two_seats(), flow_list(), plan(items=()))
WORDS = (
    "on", "off", "one zero one three", "one zero three one", "closed and locked", "fastened",
    "five", "skip", "skip, inoperative", "come back to that", "go back", "hold", "continue",
    "say again", "what is left", "slower", "faster", "quiet", "read aloud", "help", "stop", "yes",
    "no", "done", "leave them open", "take them now", "before start checklist complete", "", "1",
    "good morning everybody", "not on", "er", "beacon", "fuel pump on", "doors", "altimeter",
    "belts", "overhead", "not known",
)  # fmt: skip
KEYS = ("f2", "space", "f5", ";", "f7", "tab", "<", ">", "*", "?", "escape", "enter", "q", "")
IDS = ("", "@hold", "@stop", "beacon", "pump", "doors", "nothing")

words = st.sampled_from(WORDS) | st.text(max_size=12)
heard = st.builds(
    Heard,
    text=words,
    transcript=words,
    confidence=st.floats(allow_nan=True, allow_infinity=True),
    sure=st.booleans(),
    alternatives=st.lists(st.tuples(words, st.floats()), max_size=4).map(tuple),
)
notices = st.builds(
    SoundNotice,
    what=st.sampled_from(Disturbance),
    count=st.integers(0, 99),
    message=words,
    measured=st.none() | st.floats(-96.0, 1.0),
    told=st.booleans(),
    over=st.booleans(),
)
happenings = st.one_of(
    st.tuples(st.just("hear"), heard, st.sampled_from((None, *Role))),
    st.tuples(st.just("type"), words),
    st.tuples(st.just("key"), st.sampled_from(KEYS)),
    st.tuples(st.just("hear-late"), heard, st.sampled_from(IDS)),
    st.tuples(st.just("speech"), st.integers(-1, 1), st.booleans()),
    st.tuples(st.just("tick")),
    st.tuples(st.just("due")),
    st.tuples(st.just("fail"), st.sampled_from(("hearing", "voice", "journal"))),
    st.tuples(st.just("back")),
    st.tuples(st.just("sound"), notices),
    st.tuples(st.just("replan"), st.integers(0, 4)),
    st.tuples(st.just("interrupt")),
    st.tuples(st.just("aside")),
    st.tuples(st.just("start")),
    st.tuples(st.just("resume"), words),
)
pacings = st.builds(
    Pacing,
    barge_in=st.booleans(),
    tones=st.booleans(),
    tail_s=st.sampled_from((0.0, 0.25)),
    silence_s=st.sampled_from((0.0, 8.0)),
    completion_by=st.sampled_from(CompletionBy),
    flow=st.sampled_from(FlowMode),
    challenger=st.sampled_from(Challenger),
)
scripts = st.lists(st.tuples(happenings, st.sampled_from((0.0, 0.1, 2.0, 30.0))), max_size=40)


Script = list[tuple[tuple[Any, ...], float]]


def happen(desk: Desk, what: tuple[Any, ...]) -> None:
    """Feed one happening, addressed to what is asked now where it has an address."""
    name, *facts = what
    if name == "due":
        desk.now = max(desk.now, list_deadline(desk.state) or 0.0)
    desk.feed(MAKERS[name](desk, desk.stamp(), target_of(desk.state.progress), *facts))


MAKERS: dict[str, Callable[..., ev.Event]] = {
    "sound": lambda desk, stamp, target, notice: ev.SoundDisturbed(stamp, notice),
    "hear": lambda desk, stamp, target, heard, seat: ev.HeardReply(
        stamp, target, heard, None, seat
    ),
    "hear-late": lambda desk, stamp, target, heard, other: ev.HeardReply(
        stamp, other, heard, float("nan")
    ),
    "type": lambda desk, stamp, target, text: ev.TypedReply(stamp, target, text),
    "key": lambda desk, stamp, target, key: ev.KeyPressed(stamp, key),
    "speech": lambda desk, stamp, target, off, spoken: ev.SpeechFinished(
        stamp, desk.state.moment.token + off, spoken
    ),
    "tick": lambda desk, stamp, target: ev.Ticked(stamp),
    "due": lambda desk, stamp, target: ev.Ticked(stamp),
    "fail": lambda desk, stamp, target, part: ev.AdapterFailed(stamp, part, "Gone.", "Fix it."),
    "back": lambda desk, stamp, target: ev.AdapterRecovered(stamp, "hearing"),
    "replan": lambda desk, stamp, target, n: ev.FlightChanged(stamp, replanned(desk, n), "said"),
    "interrupt": lambda desk, stamp, target: ev.Interrupted(stamp, "keyboard"),
    "aside": lambda desk, stamp, target: ev.SetAside(stamp, "a drill"),
    "start": lambda desk, stamp, target: ev.Started(stamp, "s2", desk.plan),
    "resume": lambda desk, stamp, target, torn: ev.ResumeAsked(stamp, torn),
}


def replanned(desk: Desk, dropped: int) -> Plan:
    items = desk.plan.items
    changed = (replace(i, applicable=n != dropped, why_not="x") for n, i in enumerate(items))
    return replace(desk.plan, items=tuple(changed))


def run(which: int, pacing: Pacing, script: Script) -> Desk:
    desk = Desk(PLANS[which], pacing)
    desk.feed(ev.Started(desk.stamp(), "s1", desk.plan))
    for what, pause in script:
        desk.now += pause
        happen(desk, what)
    return desk


@given(st.integers(0, 3), pacings, scripts)
@settings(max_examples=300, deadline=None)
def test_the_journal_replays_to_the_live_state(which: int, pacing: Pacing, script: Script) -> None:
    desk = run(which, pacing, script)
    lines = [json.dumps(to_plain(record), allow_nan=False) for record in desk.records]
    back = [from_plain(json.loads(line)) for line in lines]
    assert back == desk.records
    assert replay_list(back) == desk.state.progress


@given(st.integers(0, 3), pacings, scripts)
@settings(max_examples=100, deadline=None)
def test_what_is_done_is_the_same_with_the_sound_spoilt_or_not(
    which: int, pacing: Pacing, script: Script
) -> None:
    spoilt, clear = run(which, pacing, script), Desk(PLANS[which], pacing)
    clear.feed(ev.Started(clear.stamp(), "s1", clear.plan))
    for what, pause in script:
        clear.now += pause
        if what[0] != "sound":
            happen(clear, what)
    done = [replace(d.state.progress, seq=0, at=0.0, sound=UNSPOILT) for d in (spoilt, clear)]
    assert done[0] == done[1]
    moments = [replace(d.state.moment, troubles=(), seen=()) for d in (spoilt, clear)]
    assert moments[0] == moments[1]


@given(st.integers(0, 3), pacings, scripts)
@settings(max_examples=200, deadline=None)
def test_every_item_ends_in_exactly_one_outcome(which: int, pacing: Pacing, script: Script) -> None:
    desk = run(which, pacing, script)
    if desk.state.progress.suspended:
        desk.feed(ev.ResumeAsked(desk.stamp())).settled()
    finish(desk)
    progress = desk.state.progress
    assert all(isinstance(item.outcome, ItemOutcome) for item in progress.items)
    choices = [x.choice for x in desk.records if isinstance(x, r.Decided)]
    waived = Choice.LEAVE_OPEN in choices
    if progress.ending is Ending.COMPLETED and not waived:
        assert ItemOutcome.LEFT_OPEN not in [item.outcome for item in progress.items]
    assert list_step(desk.state, ev.KeyPressed(desk.stamp(), "f2")) == (desk.state, ())


@given(st.integers(0, 3), pacings, scripts)
@settings(max_examples=200, deadline=None)
def test_no_answer_without_a_sure_matching_reply(
    which: int, pacing: Pacing, script: Script
) -> None:
    desk = run(which, pacing, script)
    matches = [x for x in desk.records if isinstance(x, r.Replied) and x.verdict is Verdict.MATCH]
    assert all(match.utterance.sure for match in matches)
    settled = {match.item_id for match in matches}
    for planned, item in zip(
        desk.state.progress.plan.items, desk.state.progress.items, strict=True
    ):
        assert item.outcome is not ItemOutcome.ANSWERED or planned.id in settled


@given(st.integers(0, 3), pacings, scripts)
@settings(max_examples=200, deadline=None)
def test_the_ear_is_armed_for_what_is_asked_or_not_at_all(
    which: int, pacing: Pacing, script: Script
) -> None:
    armed = ""
    desk = Desk(PLANS[which], pacing)
    desk.feed(ev.Started(desk.stamp(), "s1", desk.plan))
    for what, pause in [(("tick",), 0.0), *script]:
        for effect in desk.last:
            if isinstance(effect, e.StopListening):
                armed = ""
            if isinstance(effect, e.Listen):
                armed = effect.item_id
                assert armed == effect.candidates.item_id
        assert armed in ("", target_of(desk.state.progress))
        if desk.state.moment.speaking and not pacing.barge_in:
            assert armed == ""
        desk.now += pause
        happen(desk, what)


@given(st.integers(0, 3), scripts, st.integers(0, 200))
@settings(max_examples=200, deadline=None)
def test_any_beginning_of_a_journal_can_be_taken_up_and_finished(
    which: int, script: Script, cut: int
) -> None:
    desk = run(which, Pacing(), script)
    kept = desk.records[: max(1, cut % (len(desk.records) + 1))]
    progress = replay_list(kept)
    if progress.ending:
        return
    desk.effects = [e.Record(record) for record in kept]
    desk.state = SessionState(desk.state.context, progress)
    desk.now = progress.at
    desk.feed(ev.ResumeAsked(desk.stamp(), "")).settled()
    for before, after in zip(progress.items, desk.state.progress.items, strict=True):
        assert before.outcome in (None, after.outcome)
    finish(desk)
    desk.check()


def finish(desk: Desk) -> None:
    """Skip whatever is asked until the list is over."""
    answers = {
        "@hold": "continue",
        "@stop": "no",
        "@flow": "not known" if desk.pacing.flow is FlowMode.QUIZ else "done",
        "@open-items": "leave them open",
        "@completion": "before start checklist complete",
        "@skip-reason": "inoperative",
    }
    for _ in range(60):
        progress = desk.state.progress
        if progress.ending:
            return
        if progress.awaiting and progress.next_due is not None:
            desk.type(progress.plan.items[progress.next_due].challenge)
        desk.type(answers.get(desk.asking, "skip, inoperative"))
    raise AssertionError(f"never over: asking {desk.asking}")


def test_a_long_session_keeps_no_more_than_its_items() -> None:
    """Two hours of chatter, holds and repeats leave the state as small as it was."""
    desk = Desk().start()
    sizes = []
    for turn in range(2_000):
        desk.say(("hold", "continue", "say again", "off", "what a day", "go back")[turn % 6])
        desk.effects.clear()
        if turn % 7 == 0:  # after each of the six in turn
            sizes.append(len(repr(desk.state)))
    half = len(sizes) // 2
    assert max(sizes[half:]) <= max(sizes[:half]) + 50
