"""The records of a drill."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from callout.core.conversation.records import JournalRecord
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise
from callout.core.drill.waiting_items import Lot
from callout.core.model.commands import Command
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Verdict


class Over(Enum):
    """Why a drill ended."""

    DONE = "done"
    """All picked exercises were answered."""
    TIME = "time"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True)
class DrillRecord(JournalRecord):
    """Base of the records of a drill."""


@dataclass(frozen=True, slots=True)
class DrillBegan(DrillRecord):
    """A drill began; holds everything that may be asked."""

    drill_id: str
    exercises: tuple[Exercise, ...]
    minutes: float
    """Time limit."""
    about: dict[str, str] = field(default_factory=dict)
    quiet: bool = False
    lots: tuple[Lot, ...] = ()
    """Drawn for the items that took part: which of them wait."""


@dataclass(frozen=True, slots=True)
class ExercisePut(DrillRecord):
    """An exercise was put; ``exercise`` is its number, from 0."""

    exercise: int
    again: bool = False
    """It had gone wrong before and came back."""


@dataclass(frozen=True, slots=True)
class ExerciseAnswered(DrillRecord):
    """A reply was judged."""

    exercise: int
    utterance: Utterance
    verdict: Verdict
    code: str
    reason: str
    reply: str | None = None
    seconds: float | None = None
    """From the end of the challenge to the beginning of the reply; None if typed."""
    follows: bool = False
    """The reply says what a state called wrong should be."""


@dataclass(frozen=True, slots=True)
class ExerciseTold(DrillRecord):
    """The answer was revealed: on request, or after a second wrong reply."""

    exercise: int


@dataclass(frozen=True, slots=True)
class ExerciseLeft(DrillRecord):
    """It was skipped; this says nothing about the person."""

    exercise: int


@dataclass(frozen=True, slots=True)
class ExerciseGraded(DrillRecord):
    """The result, from which the schedule is computed."""

    exercise: int
    grade: Grade


@dataclass(frozen=True, slots=True)
class DrillRemarked(DrillRecord):
    """A side remark."""

    utterance: Utterance


@dataclass(frozen=True, slots=True)
class DrillCommanded(DrillRecord):
    """A control was understood."""

    command: Command
    utterance: Utterance
    pace: float = 1.0
    """Factor on the usual speed of the voice."""
    quiet: bool = False
    held: bool = False
    """Pace, voice and hold from now on."""


@dataclass(frozen=True, slots=True)
class DrillEnded(DrillRecord):
    """The drill is over."""

    over: Over
