"""What every conversation promises: a checklist, a flight between its lists, and a drill."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, get_type_hints

import pytest

from callout.app.running.drilling import DRILL
from callout.app.running.flying import FLIGHT
from callout.app.running.machines import LIST, Machine
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.moment import Moment, MomentChange
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import Disturbance
from callout.core.conversation.sound import SoundNotice
from callout.core.conversation.view_model import Doing, ViewModel
from callout.core.drill.events import DrillStarted
from callout.core.drill.state import DrillState
from callout.core.flight_run.due import in_flight_order
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.core.model.heard import Heard
from callout.core.state.board import Board, Move
from tests.core.drill.drill_kit import exercises
from tests.core.flight_kit import LISTS, flight, written
from tests.core.session_kit import offered, plan

BEGAN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)


@dataclass
class Talk:
    """One conversation, fed with events; keeps what each led to."""

    machine: Machine[Any]
    state: Any
    began: Callable[[ev.Stamp], ev.Event]
    effects: list[e.Effect] = field(default_factory=list)
    last: tuple[e.Effect, ...] = ()
    now: float = 100.0
    count: int = 0

    def stamp(self) -> ev.Stamp:
        self.count += 1
        return ev.Stamp(self.count, self.now, BEGAN + timedelta(seconds=self.now))

    def feed(self, kind: Callable[..., ev.Event], *facts: Any, **more: Any) -> Talk:
        self.now += 0.01
        self.state, self.last = self.machine.step(self.state, kind(self.stamp(), *facts, **more))
        kept = [isinstance(effect, e.Record) for effect in self.last]
        assert kept == sorted(kept, reverse=True), "records come first"
        self.effects += self.last
        return self

    def start(self) -> Talk:
        return self.feed(lambda stamp: self.began(stamp))

    def fall_silent(self, *, spoken: bool = True) -> Talk:
        return self.feed(ev.SpeechFinished, self.moment.token, spoken=spoken)

    def listening(self) -> Talk:
        """Start, and let the voice and the rest after it pass."""
        self.start().fall_silent()
        due = self.moment.listen_due
        assert due is not None
        self.now = due
        return self.feed(ev.Ticked)

    @property
    def moment(self) -> Moment:
        return self.machine.moment(self.state)

    @property
    def target(self) -> str:
        return self.machine.target(self.state)

    @property
    def view(self) -> ViewModel:
        return next(x.view for x in reversed(self.effects) if isinstance(x, e.Show))

    @property
    def news(self) -> str:
        return " ".join(line for x in self.last if isinstance(x, e.Show) for line in x.news)

    @property
    def written(self) -> list[dict[str, Any]]:
        """What the last step wrote down, as it stands in a journal."""
        found = [to_plain(x.record) for x in self.last if isinstance(x, e.Record)]
        assert [to_plain(from_plain(fields)) for fields in found] == found
        return found

    @property
    def kinds(self) -> list[type[e.Effect]]:
        return [type(effect) for effect in self.last]


def _context(pacing: Pacing) -> Context:
    return Context(default_commands(), default_tables(), pacing, offered, True, "test")


def _checklist(pacing: Pacing) -> Talk:
    return Talk(LIST, SessionState(_context(pacing)), lambda at: ev.Started(at, "s1", plan()))


def _flight(pacing: Pacing) -> Talk:
    lists = in_flight_order(tuple(map(written, LISTS)))
    state = SectorState(SectorContext(_context(pacing), lists, flight(), 1, {}))
    return Talk(FLIGHT, state, lambda at: SectorStarted(at, "f1", "ab", "Practice flight"))


def _drill(pacing: Pacing) -> Talk:
    given = exercises(None)
    return Talk(DRILL, DrillState(_context(pacing)), lambda at: DrillStarted(at, "d1", given, 10.0))


Maker = Callable[[Pacing], Talk]


@pytest.fixture(params=[_checklist, _flight, _drill], ids=["checklist", "flight", "drill"])
def make(request: pytest.FixtureRequest) -> Maker:
    found: Maker = request.param
    return found


@pytest.fixture
def talk(make: Maker) -> Talk:
    return make(Pacing()).listening()


def test_it_speaks_first_and_listens_after_a_rest(make: Maker) -> None:
    talk = make(Pacing(tail_s=0.5)).start()
    assert e.Say in talk.kinds
    assert e.Listen not in talk.kinds
    assert talk.view.doing is Doing.SPEAKING
    talk.feed(ev.SpeechFinished, talk.moment.token + 1)
    assert talk.moment.speaking, "the end of something said before ended this"
    talk.fall_silent()
    assert talk.moment.listen_due == pytest.approx(talk.now + 0.5)
    talk.feed(ev.Ticked)
    assert e.Listen not in talk.kinds
    assert talk.machine.deadline(talk.state) == talk.moment.listen_due
    talk.now = talk.moment.listen_due or 0.0
    talk.feed(ev.Ticked)
    armed = [effect for effect in talk.last if isinstance(effect, e.Listen)]
    assert [effect.item_id for effect in armed] == [talk.target]


def test_without_sound_in_the_room_it_listens_at_once(make: Maker) -> None:
    assert e.Listen in make(Pacing()).start().fall_silent(spoken=False).kinds


def test_with_a_headset_a_voice_cuts_the_tool_short(make: Maker) -> None:
    talk = make(Pacing(barge_in=True)).start()
    assert e.Listen in talk.kinds
    talk.feed(ev.SpokeUp)
    assert e.Hush in talk.kinds
    assert not talk.moment.speaking
    assert not talk.written


def test_without_a_headset_a_voice_does_not_cut_the_tool_short(make: Maker) -> None:
    talk = make(Pacing()).start().feed(ev.SpokeUp)
    assert talk.last == ()
    assert talk.moment.speaking


def test_nobody_is_reminded_who_has_begun_to_speak(make: Maker) -> None:
    talk = make(Pacing()).listening()
    due = talk.machine.deadline(talk.state)
    if due is None:
        pytest.skip("silence is not followed up here")
    talk.now = due - 0.1
    talk.feed(ev.SpokeUp)
    talk.now = due
    assert talk.feed(ev.Ticked).last == ()
    assert talk.moment.listening == talk.target, "the utterance under way goes on"
    later = talk.machine.deadline(talk.state)
    assert later is not None
    assert later > due
    talk.now = later
    assert talk.feed(ev.Ticked).last, "after as long a silence again it is asked again"


def test_a_press_at_an_earlier_screen_is_refused_and_said_so(talk: Talk) -> None:
    before = talk.machine.summary(talk.state)
    talk.feed(ev.KeyPressed, "escape", "asked-before")
    assert not talk.written
    assert "pressed that before this question appeared" in talk.news
    assert talk.machine.summary(talk.state) == before
    assert talk.moment.listening == talk.target


@pytest.mark.parametrize("shown", ["", "now"])
def test_a_press_at_this_screen_counts(talk: Talk, shown: str) -> None:
    talk.feed(ev.KeyPressed, "f4", talk.target if shown else "")
    assert talk.written


def test_a_line_begun_before_this_was_asked_is_not_taken_and_not_lost(talk: Talk) -> None:
    talk.feed(ev.TypedReply, "asked-before", " on ")
    assert not talk.written
    assert 'while you typed "on"' in talk.news
    assert talk.moment.listening == talk.target


def test_an_empty_line_and_a_late_reply_are_passed_over(talk: Talk) -> None:
    assert talk.feed(ev.TypedReply, talk.target, "  ").last == ()
    assert talk.feed(ev.HeardReply, "asked-before", Heard("on", "on", 0.99, True)).last == ()


def test_a_device_that_goes_is_kept_told_and_shown_until_it_is_back(talk: Talk) -> None:
    talk.feed(ev.AdapterFailed, "hearing", "The microphone is gone.", "Type instead.")
    (kept,) = talk.written
    assert kept["type"].endswith("failed")
    assert (kept["part"], kept["message"]) == ("hearing", "The microphone is gone.")
    assert "The microphone is gone. Type instead." in talk.news
    assert [t.part for t in talk.view.troubles] == ["hearing"]
    assert talk.view.doing is not Doing.LISTENING
    talk.feed(ev.AdapterFailed, "hearing", "Still gone.")
    assert [t.message for t in talk.view.troubles] == ["Still gone."]
    talk.feed(ev.AdapterRecovered, "hearing")
    (kept,) = talk.written
    assert kept["type"].endswith("recovered")
    assert "The microphone is back." in talk.news
    assert talk.view.troubles == ()
    assert e.Listen in talk.kinds, "the ear is armed anew"


def test_failures_are_counted(talk: Talk) -> None:
    talk.feed(ev.AdapterFailed, "voice", "The voice is gone.")
    assert talk.state.progress.failures == 1
    assert talk.target


def test_an_interrupt_keeps_what_there_is_and_ends(talk: Talk) -> None:
    talk.feed(ev.Interrupted, "keyboard")
    (kept,) = talk.written
    assert kept["type"].endswith("suspended")
    assert kept["why"] == "keyboard"
    assert "Interrupted." in talk.news
    assert talk.kinds[-1] is e.Finish
    assert e.Listen not in talk.kinds
    assert e.StopListening in talk.kinds
    assert talk.target == ""
    for again in (ev.Ticked, ev.SpokeUp):
        assert talk.feed(again).last == ()
    assert talk.feed(ev.Interrupted, "keyboard").last == ()


def test_an_interrupt_while_it_speaks_cuts_it_short(make: Maker) -> None:
    talk = make(Pacing()).start().feed(ev.Interrupted, "terminated")
    assert e.Hush in talk.kinds


def test_the_last_effect_holds_the_summary_that_the_state_gives(talk: Talk) -> None:
    talk.feed(ev.Interrupted, "keyboard")
    (end,) = (effect for effect in talk.last if isinstance(effect, e.Finish))
    assert end.summary == talk.machine.summary(talk.state)


def _faint(**facts: Any) -> SoundNotice:
    default = {"count": 2, "message": "Speak closer.", "measured": -51.5, "told": True}
    return SoundNotice(Disturbance.FAINT, **{**default, **facts})


def test_spoilt_sound_is_kept_told_and_counted_and_changes_nothing_else(talk: Talk) -> None:
    talk.feed(ev.SoundDisturbed, _faint())
    (kept,) = talk.written
    assert kept["type"].endswith("disturbed")
    assert (kept["what"], kept["count"], kept["measured"]) == ("faint", 2, -51.5)
    assert talk.news == "Speak closer."
    assert [t.part for t in talk.view.troubles] == ["faint"]
    assert not {e.Say, e.Hush, e.Listen, e.StopListening, e.Finish} & set(talk.kinds)
    talk.feed(ev.SoundDisturbed, _faint(message="Better.", count=0, over=True))
    assert talk.view.troubles == ()
    assert talk.machine.summary(talk.state).sound.faint == 2


def test_spoilt_sound_that_is_not_told_is_only_counted(talk: Talk) -> None:
    talk.feed(ev.SoundDisturbed, _faint(told=False))
    assert talk.news == ""
    talk.feed(ev.Interrupted, "keyboard")
    (end,) = (effect for effect in talk.last if isinstance(effect, e.Finish))
    assert end.summary.sound.faint == 2


def test_what_the_aircraft_tells_says_and_keeps_nothing_by_itself(talk: Talk) -> None:
    before = talk.machine.summary(talk.state), talk.target, talk.moment
    for beacon in ("off", "on"):
        board = Board({"beacon": beacon}, talk.now)
        talk.feed(ev.StateReported, board, (Move("beacon", "off", beacon, talk.now),))
        assert talk.last == ()
    assert before == (talk.machine.summary(talk.state), talk.target, talk.moment)


def test_nothing_happens_before_it_has_begun(make: Maker) -> None:
    talk = make(Pacing())
    assert talk.feed(ev.SpokeUp).last == ()
    assert talk.feed(ev.Ticked).last == ()


def test_it_begins_once(talk: Talk) -> None:
    talk.start()
    assert not talk.written


def test_the_fields_that_a_step_may_change_are_those_of_the_moment() -> None:
    assert get_type_hints(MomentChange) == get_type_hints(Moment)
