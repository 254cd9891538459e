"""What a drill knows, and how its records change it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import singledispatch

from callout.core.checklist_run.state import Context
from callout.core.conversation.moment import Moment
from callout.core.conversation.progress import CommonProgress, after_common
from callout.core.conversation.records import JournalRecord
from callout.core.drill import records as d
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise
from callout.core.model.verdict import Verdict

BACK_AFTER = 4
"""Number of other exercises before one that went wrong comes back."""
MOST_PUT = 3
"""Maximum number of times an exercise is put in one drill."""


@dataclass(frozen=True, slots=True)
class Tally:
    """Progress of one exercise."""

    grades: tuple[Grade, ...] = ()
    """One for each time it was put and settled."""
    put: int = 0
    """Times it was put."""
    wrong: int = 0
    """Wrong replies since it was put last."""
    unclear: int = 0
    """Unclear replies since it was put last."""
    left: bool = False
    told: bool = False
    heard: str = ""
    """Words of the last wrong reply."""


@dataclass(frozen=True, slots=True)
class DrillProgress(CommonProgress):
    """Everything that a drill's records rebuild."""

    drill_id: str = ""
    exercises: tuple[Exercise, ...] = ()
    tallies: tuple[Tally, ...] = ()
    waiting: tuple[int, ...] = ()
    """Exercises to come, in order; some come back."""
    current: int | None = None
    """Number of the open exercise, from 0."""
    before: int | None = None
    """The exercise that was answered, revealed or skipped last."""
    follows: bool = False
    """A state was called wrong; what it should be is now asked."""
    minutes: float = 0.0
    """Time limit."""
    held: bool = False
    held_at: float = 0.0
    """Session time in seconds at which it was put on hold."""
    rested: float = 0.0
    """Seconds on hold."""
    over: d.Over | None = None

    @property
    def exercise(self) -> Exercise | None:
        """What is being asked."""
        return None if self.current is None else self.exercises[self.current]

    @property
    def tally(self) -> Tally:
        """Progress of the open exercise."""
        return Tally() if self.current is None else self.tallies[self.current]

    @property
    def settled(self) -> int:
        """Exercises that were answered, revealed or skipped at least once."""
        return sum(bool(t.grades) or t.left for t in self.tallies)

    def seconds_left(self, at: float) -> float:
        """Return the drill's remaining time at session time ``at``; holds do not count."""
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
    """Return ``progress`` after one more record; a record without an exercise changes nothing
    else.
    """
    number = getattr(record, "exercise", None)
    if number is not None and not 0 <= number < len(progress.exercises):
        return replace(progress, seq=record.seq, at=record.at)
    common = after_common(progress, record)
    changed = _apply_change(record, progress) if common is None else common
    return replace(changed, seq=record.seq, at=record.at)


@singledispatch
def _apply_change(record: JournalRecord, progress: DrillProgress) -> DrillProgress:
    return progress


@_apply_change.register
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


@_apply_change.register
def _(record: d.ExercisePut, progress: DrillProgress) -> DrillProgress:
    waiting = list(progress.waiting)
    if record.exercise in waiting:
        waiting.remove(record.exercise)
    tally = progress.tallies[record.exercise]
    put_again = replace(tally, put=tally.put + 1, wrong=0, unclear=0, told=False)
    fresh = _with_tally(progress, record.exercise, put_again)
    return replace(fresh, waiting=tuple(waiting), current=record.exercise, follows=False)


@_apply_change.register
def _(record: d.ExerciseAnswered, progress: DrillProgress) -> DrillProgress:
    tally = progress.tallies[record.exercise]
    match record.verdict:
        case Verdict.MISMATCH:
            heard = record.utterance.words
            wrong = replace(tally, wrong=tally.wrong + 1, heard=heard)
            return _with_tally(progress, record.exercise, wrong)
        case Verdict.UNCLEAR:
            unclear = replace(tally, unclear=tally.unclear + 1)
            return _with_tally(progress, record.exercise, unclear)
        case _:
            exercise = progress.exercises[record.exercise]
            follows = not record.follows and (record.reply or "") in exercise.fallen
            return replace(progress, follows=follows)


@_apply_change.register
def _(record: d.ExerciseTold, progress: DrillProgress) -> DrillProgress:
    tally = progress.tallies[record.exercise]
    return _with_tally(progress, record.exercise, replace(tally, told=True))


@_apply_change.register
def _(record: d.ExerciseLeft, progress: DrillProgress) -> DrillProgress:
    tally = replace(progress.tallies[record.exercise], left=True)
    left = _with_tally(progress, record.exercise, tally)
    return replace(left, current=None, before=record.exercise, follows=False)


@_apply_change.register
def _(record: d.ExerciseGraded, progress: DrillProgress) -> DrillProgress:
    tally = progress.tallies[record.exercise]
    grades = (*tally.grades, record.grade)
    graded = _with_tally(progress, record.exercise, replace(tally, grades=grades))
    waiting = list(progress.waiting)
    if record.grade is Grade.MISSED and tally.put < MOST_PUT:
        waiting.insert(BACK_AFTER, record.exercise)
    return replace(
        graded, current=None, before=record.exercise, follows=False, waiting=tuple(waiting)
    )


@_apply_change.register
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


@_apply_change.register
def _(record: d.DrillEnded, progress: DrillProgress) -> DrillProgress:
    return replace(progress, over=record.over, current=None)


def _with_tally(progress: DrillProgress, number: int, changed: Tally) -> DrillProgress:
    tallies = (*progress.tallies[:number], changed, *progress.tallies[number + 1 :])
    return replace(progress, tallies=tallies)
