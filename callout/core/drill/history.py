"""What drills show about how well items are known, and the progress from drill to drill."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from callout.core.conversation.records import JournalRecord
from callout.core.drill import records as d
from callout.core.drill.evidence import Grade, Review, Weakness
from callout.core.drill.exercise import Mode
from callout.core.drill.state import replay_drill
from callout.core.drill.summary import summarise_drill
from callout.core.drill.told_chance import TOLD, ToldChance, told_chance
from callout.core.model.counting import counted_noun
from callout.core.model.intervals import wilson_interval
from callout.core.sentences import drill as sentences


def drill_reviews(records: Sequence[JournalRecord]) -> Iterator[Review]:
    """Yield the reviews of one drill; raises ValueError for another journal."""
    began = records[0] if records else None
    if not isinstance(began, d.DrillBegan):
        raise ValueError("not the journal of a drill")
    put: dict[int, float] = {}
    for record in records:
        if isinstance(record, d.ExercisePut):
            put[record.exercise] = record.at
        if isinstance(record, d.ExerciseGraded) and 0 <= record.exercise < len(began.exercises):
            exercise = began.exercises[record.exercise]
            yield Review(
                key=exercise.key,
                at=record.utc,
                grade=record.grade,
                origin=began.drill_id,
                number=record.seq,
                weakness=_graded_weakness(record.grade, exercise.mode),
                drill=True,
                took=_took(put.get(record.exercise), record.at),
            )


LONGEST_S = 90.0
"""An exercise that took longer was interrupted, and says nothing about its duration."""


def _took(put: float | None, graded: float) -> float | None:
    seconds = None if put is None else graded - put
    return seconds if seconds is not None and 0 < seconds <= LONGEST_S else None


def _graded_weakness(grade: Grade, mode: Mode) -> Weakness:
    if grade is Grade.MISSED:
        return Weakness.OMITTED if mode is Mode.NEXT_ITEM else Weakness.WRONG
    return Weakness.FAST if grade is Grade.DOUBTFUL else Weakness.NONE


@dataclass(frozen=True, slots=True)
class Done:
    """One drill at a glance."""

    drill_id: str
    began: datetime
    graded: int
    """Exercises with a grade."""
    first_time: int
    """Of those, right at the first reply."""
    minutes: float
    """Duration without holds."""
    foretold: tuple[tuple[float, bool], ...] = ()
    """Predicted chance of a slip for each exercise, and whether it went wrong at first."""


def drill_done(records: Sequence[JournalRecord]) -> Done:
    """Return one drill at a glance."""
    progress = replay_drill(records)
    summary = summarise_drill(progress)
    graded = summary.settled - len(summary.left)
    began = records[0].utc
    pairs = zip(progress.exercises, progress.tallies, strict=True)
    foretold = tuple(
        (e.risk, t.grades[0] is Grade.MISSED) for e, t in pairs if t.grades and e.risk is not None
    )
    minutes = summary.minutes
    return Done(progress.drill_id, began, graded, summary.first_time, minutes, foretold)


def progress_lines(drills: Iterable[Done], most: int = 7) -> list[str]:
    """Return the progress from drill to drill, oldest first; empty before the second one."""
    known = [one for one in sorted(drills, key=lambda one: one.began) if one.graded][-most:]
    if len(known) < 2:
        return []
    shares = [f"{100 * one.first_time / one.graded:.0f} %" for one in known]
    minutes = sum(one.minutes for one in known)
    return [
        sentences.right_first_time(len(known), ", ".join(shares)),
        sentences.time_taken(counted_noun(round(minutes), "minute") if minutes >= 1 else ""),
    ]


FEWEST_FORETOLD = 30
"""Number of exercises with a predicted risk needed to say whether the predictions came true."""
FEWEST_IN_CLASS = 10
"""The same of one class."""


def calibration_lines(drills: Iterable[Done]) -> list[str]:
    """Return whether predicted risks came true, for each class that was told."""
    pairs = [pair for one in drills for pair in one.foretold]
    if len(pairs) < FEWEST_FORETOLD:
        return []
    classes = ((one, [slip for risk, slip in pairs if told_chance(risk) is one]) for one in TOLD)
    told = [_came_true(one, slips) for one, slips in classes if len(slips) >= FEWEST_IN_CLASS]
    return [sentences.risk_came_true(" ".join(told))] if told else []


def _came_true(one: ToldChance, slips: Sequence[bool]) -> str:
    low, high = wilson_interval(sum(slips), len(slips))
    as_told = low <= one.most and one.least <= high
    return sentences.risk_in_band(one.words, sum(slips), len(slips), 100 * low, 100 * high, as_told)
