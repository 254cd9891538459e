"""What a drill knows, and how its records change that."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import singledispatch

from callout.core.drill import records as d
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise
from callout.core.journal_records import JournalRecord
from callout.core.sound import UNSPOILT, Disturbed, SoundTally
from callout.core.state import Context, Moment
from callout.core.verdict import Verdict

BACK_AFTER = 4
"""Other exercises before one that went wrong comes back."""
MOST_PUT = 3
"""How often an exercise is put in one drill at most."""


@dataclass(frozen=True, slots=True)
class Tally:
    """How one exercise went so far."""

    grades: tuple[Grade, ...] = ()
    """One for each time it was put and settled."""
    put: int = 0
    wrong: int = 0
    """Wrong replies since it was put last."""
    unclear: int = 0
    """Unclear replies since it was put last."""
    left: bool = False
    told: bool = False
    heard: str = ""
    """Of the last wrong reply."""


@dataclass(frozen=True, slots=True)
class DrillProgress:
    """Everything that a drill's records rebuild."""

    seq: int = 0
    at: float = 0.0
    drill_id: str = ""
    exercises: tuple[Exercise, ...] = ()
    tallies: tuple[Tally, ...] = ()
    waiting: tuple[int, ...] = ()
    """Exercises to come, in order; some come back."""
    current: int | None = None
    follows: bool = False
    """A state was called wrong; what it should be is asked for."""
    minutes: float = 0.0
    began: float = 0.0
    held: bool = False
    held_at: float = 0.0
    rested: float = 0.0
    """Seconds on hold."""
    quiet: bool = False
    pace: float = 1.0
    failures: int = 0
    sound: SoundTally = UNSPOILT
    over: d.Over | None = None
    suspended: bool = False

    @property
    def exercise(self) -> Exercise | None:
        """What is being asked."""
        return None if self.current is None else self.exercises[self.current]

    @property
    def tally(self) -> Tally:
        """How what is being asked went so far."""
        return Tally() if self.current is None else self.tallies[self.current]

    @property
    def settled(self) -> int:
        """Exercises that were answered, told or left out at least once."""
        return sum(bool(t.grades) or t.left for t in self.tallies)

    def seconds_left(self, at: float) -> float:
        """Return what is left of the drill's time at session time ``at``; holds do not count."""
        resting = at - self.held_at if self.held else 0.0
        return max(0.0, self.minutes * 60 - (at - self.began - self.rested - resting))


@dataclass(frozen=True, slots=True)
class DrillState:
    """A drill at one moment."""

    context: Context
    progress: DrillProgress = DrillProgress()
    moment: Moment = field(default_factory=Moment)


def replay_drill(records: Iterable[JournalRecord]) -> DrillProgress:
    """Return the progress that ``records``, in order, lead to."""
    progress = DrillProgress()
    for record in records:
        progress = apply_drill(progress, record)
    return progress


def apply_drill(progress: DrillProgress, record: JournalRecord) -> DrillProgress:
    """Return ``progress`` after one more record; one of no exercise changes nothing else."""
    number = getattr(record, "exercise", None)
    if number is not None and not 0 <= number < len(progress.exercises):
        return replace(progress, seq=record.seq, at=record.at)
    return replace(_apply(record, progress), seq=record.seq, at=record.at)


@singledispatch
def _apply(record: JournalRecord, progress: DrillProgress) -> DrillProgress:
    return progress


@_apply.register
def _(record: d.DrillBegan, progress: DrillProgress) -> DrillProgress:
    return DrillProgress(
        drill_id=record.drill_id,
        exercises=record.exercises,
        tallies=tuple(Tally() for _ in record.exercises),
        waiting=tuple(range(len(record.exercises))),
        minutes=record.minutes,
        began=record.at,
        quiet=record.quiet,
    )


@_apply.register
def _(record: d.ExercisePut, progress: DrillProgress) -> DrillProgress:
    waiting = list(progress.waiting)
    if record.exercise in waiting:
        waiting.remove(record.exercise)
    put = progress.tallies[record.exercise].put + 1
    fresh = _tally(progress, record.exercise, put=put, wrong=0, unclear=0, told=False)
    return replace(fresh, waiting=tuple(waiting), current=record.exercise, follows=False)


@_apply.register
def _(record: d.ExerciseAnswered, progress: DrillProgress) -> DrillProgress:
    tally = progress.tallies[record.exercise]
    match record.verdict:
        case Verdict.MISMATCH:
            heard = record.utterance.words
            return _tally(progress, record.exercise, wrong=tally.wrong + 1, heard=heard)
        case Verdict.UNCLEAR:
            return _tally(progress, record.exercise, unclear=tally.unclear + 1)
        case _:
            exercise = progress.exercises[record.exercise]
            follows = not record.follows and (record.reply or "") in exercise.fallen
            return replace(progress, follows=follows)


@_apply.register
def _(record: d.ExerciseTold, progress: DrillProgress) -> DrillProgress:
    return _tally(progress, record.exercise, told=True)


@_apply.register
def _(record: d.ExerciseLeft, progress: DrillProgress) -> DrillProgress:
    return replace(_tally(progress, record.exercise, left=True), current=None, follows=False)


@_apply.register
def _(record: d.ExerciseGraded, progress: DrillProgress) -> DrillProgress:
    tally = progress.tallies[record.exercise]
    graded = _tally(progress, record.exercise, grades=(*tally.grades, record.grade))
    waiting = list(progress.waiting)
    if record.grade is Grade.MISSED and tally.put < MOST_PUT:
        waiting.insert(BACK_AFTER, record.exercise)
    return replace(graded, current=None, follows=False, waiting=tuple(waiting))


@_apply.register
def _(record: d.DrillCommanded, progress: DrillProgress) -> DrillProgress:
    rested, held_at = progress.rested, progress.held_at
    if record.held and not progress.held:
        held_at = record.at
    elif progress.held and not record.held:
        rested += record.at - progress.held_at
    return replace(
        progress,
        pace=record.pace,
        quiet=record.quiet,
        held=record.held,
        held_at=held_at,
        rested=rested,
    )


@_apply.register
def _(record: d.DrillFailed, progress: DrillProgress) -> DrillProgress:
    return replace(progress, failures=progress.failures + 1)


@_apply.register
def _(record: Disturbed, progress: DrillProgress) -> DrillProgress:
    return replace(progress, sound=progress.sound.after(record))


@_apply.register
def _(record: d.DrillEnded, progress: DrillProgress) -> DrillProgress:
    return replace(progress, over=record.over, current=None)


@_apply.register
def _(record: d.DrillSuspended, progress: DrillProgress) -> DrillProgress:
    return replace(progress, suspended=True)


def _tally(progress: DrillProgress, number: int, **facts: object) -> DrillProgress:
    changed = replace(progress.tallies[number], **facts)  # type: ignore[arg-type]
    tallies = (*progress.tallies[:number], changed, *progress.tallies[number + 1 :])
    return replace(progress, tallies=tallies)
