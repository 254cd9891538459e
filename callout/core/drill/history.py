"""What drills say about how well items are known, and how it goes from drill to drill."""

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
from callout.core.model.counting import counted


def drill_reviews(records: Sequence[JournalRecord]) -> Iterator[Review]:
    """Yield the reviews of one drill; raises ValueError for another journal."""
    began = records[0] if records else None
    if not isinstance(began, d.DrillBegan):
        raise ValueError("not the journal of a drill")
    for record in records:
        if isinstance(record, d.ExerciseGraded) and 0 <= record.exercise < len(began.exercises):
            exercise = began.exercises[record.exercise]
            yield Review(
                key=exercise.key,
                at=record.utc,
                grade=record.grade,
                origin=began.drill_id,
                number=record.seq,
                weakness=_weakness(record.grade, exercise.mode),
                drill=True,
            )


def _weakness(grade: Grade, mode: Mode) -> Weakness:
    if grade is Grade.MISSED:
        return Weakness.OMITTED if mode is Mode.NEXT_ITEM else Weakness.WRONG
    return Weakness.FAST if grade is Grade.DOUBTFUL else Weakness.NONE


@dataclass(frozen=True, slots=True)
class Done:
    """One drill at a glance."""

    drill_id: str
    began: datetime
    graded: int
    first_time: int
    minutes: float


def done(records: Sequence[JournalRecord]) -> Done:
    """Return one drill at a glance."""
    progress = replay_drill(records)
    summary = summarise_drill(progress)
    graded = summary.settled - len(summary.left)
    began = records[0].utc
    return Done(progress.drill_id, began, graded, summary.first_time, summary.minutes)


def progress_lines(drills: Iterable[Done], most: int = 7) -> list[str]:
    """Return how it goes from drill to drill, oldest first; empty before the second one."""
    known = [one for one in sorted(drills, key=lambda one: one.began) if one.graded][-most:]
    if len(known) < 2:
        return []
    shares = [f"{100 * one.first_time / one.graded:.0f} %" for one in known]
    minutes = sum(one.minutes for one in known)
    return [
        f"Right at once in the last {len(known)} drills: {', '.join(shares)}.",
        f"They took {counted(round(minutes), 'minute')} in all.",
    ]
