"""A drill under test: feeds events and keeps what comes of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.state import Context
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.records import JournalRecord
from callout.core.drill.drilling import drill_deadline, drill_step
from callout.core.drill.entries import Entry, Page, entries_of
from callout.core.drill.events import DrillStarted
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick
from callout.core.drill.state import DrillState, replay_drill
from callout.core.drill.summary import DrillSummary
from callout.core.drill.turn import drill_target
from callout.core.model.heard import Heard
from tests.core.session_kit import offered, plan

BEGAN = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
TABLES = default_tables()


def entries() -> list[Entry]:
    """Return the four items of one list that apply."""
    return list(entries_of([Page("S", plan())]))


def picks(weakness: Weakness = Weakness.NONE) -> list[Pick]:
    return [Pick(entry, 0.5, 0.5, weakness) for entry in entries()]


def exercises(mode: Mode | None, seed: str = "a") -> tuple[Exercise, ...]:
    return exercises_of(picks(), mode, seed, TABLES)


@dataclass
class Drill:
    """A drill and everything it did."""

    given: tuple[Exercise, ...]
    minutes: float = 10.0
    pacing: Pacing = field(default_factory=Pacing)
    hears: bool = True
    effects: list[e.Effect] = field(default_factory=list)
    now: float = 50.0
    count: int = 0

    def __post_init__(self) -> None:
        context = Context(default_commands(), TABLES, self.pacing, offered, self.hears, "test")
        self.state = DrillState(context)
        self.feed(DrillStarted(self.stamp(), "d1", self.given, self.minutes, {"crew": "X"}))
        self.quiet_voice()

    def stamp(self) -> ev.Stamp:
        self.count += 1
        return ev.Stamp(self.count, self.now, BEGAN + timedelta(seconds=self.now))

    def feed(self, event: ev.Event) -> Drill:
        before = len(self.records)
        self.state, found = drill_step(self.state, event)
        kinds = [isinstance(effect, e.Record) for effect in found]
        assert kinds == sorted(kinds, reverse=True), "records come first"
        self.effects += found
        assert [r.seq for r in self.records] == list(range(1, len(self.records) + 1))
        assert len(self.records) >= before
        assert replay_drill(self.records) == self.state.progress
        return self

    def quiet_voice(self) -> Drill:
        """Let the voice finish, and the rest after it pass."""
        for _ in range(3):
            if self.state.moment.speaking:
                token = self.state.moment.token
                self.feed(ev.SpeechFinished(self.stamp(), token))
            due = self.state.moment.listen_due
            if due is not None:
                self.now = due
                self.feed(ev.Ticked(self.stamp()))
        return self

    def say(self, words: str, *, sure: bool = True, after: float = 2.0) -> Drill:
        self.now += after
        heard = Heard(words, words, 0.9, sure)
        target = drill_target(self.state.progress)
        self.feed(ev.HeardReply(self.stamp(), target, heard, self.now))
        return self.quiet_voice()

    def type(self, words: str) -> Drill:
        self.now += 2.0
        target = drill_target(self.state.progress)
        return self.feed(ev.TypedReply(self.stamp(), target, words)).quiet_voice()

    def press(self, key: str) -> Drill:
        return self.feed(ev.KeyPressed(self.stamp(), key)).quiet_voice()

    def tick(self) -> Drill:
        due = drill_deadline(self.state)
        assert due is not None
        self.now = max(self.now, due)
        return self.feed(ev.Ticked(self.stamp())).quiet_voice()

    @property
    def records(self) -> list[JournalRecord]:
        return [effect.record for effect in self.effects if isinstance(effect, e.Record)]

    @property
    def said(self) -> list[str]:
        return [effect.text for effect in self.effects if isinstance(effect, e.Say)]

    @property
    def summary(self) -> DrillSummary | None:
        found = [effect.summary for effect in self.effects if isinstance(effect, e.Finish)]
        assert not found or isinstance(found[-1], DrillSummary)
        return found[-1] if found else None  # type: ignore[return-value]

    @property
    def asked(self) -> Exercise:
        exercise = self.state.progress.exercise
        assert exercise is not None
        return exercise
