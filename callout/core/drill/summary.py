"""The outcome of a drill."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.checklist_run.summary import SummaryLine
from callout.core.conversation.summary import CommonSummary
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.records import Over
from callout.core.drill.state import DrillProgress, Tally


@dataclass(frozen=True, slots=True)
class DrillSummary(CommonSummary):
    """A drill in a few lines."""

    over: Over | None
    """None: interrupted; graded exercises count."""
    picked: int
    """Exercises chosen at the beginning."""
    settled: int
    """Exercises that were graded or skipped."""
    first_time: int
    """Right first time, and not too fast to have looked."""
    new: int
    """Items met for the first time."""
    again: tuple[SummaryLine, ...]
    """What went wrong, with the answer."""
    doubtful: tuple[SummaryLine, ...]
    left: tuple[SummaryLine, ...]


def summarise_drill(progress: DrillProgress) -> DrillSummary:
    """Return the summary of ``progress``, ended or not."""
    pairs = list(zip(progress.exercises, progress.tallies, strict=True))
    graded = [(e, t) for e, t in pairs if t.grades]
    return DrillSummary(
        over=progress.over,
        minutes=max(0.0, progress.at - progress.began - progress.rested) / 60,
        picked=len(pairs),
        settled=progress.settled,
        first_time=sum(t.grades[0] is Grade.RIGHT for _, t in graded),
        new=sum(e.new for e, _ in graded),
        again=tuple(_exercise_line(e, t) for e, t in graded if t.grades[0] is Grade.MISSED),
        doubtful=tuple(_exercise_line(e, t) for e, t in graded if t.grades[0] is Grade.DOUBTFUL),
        left=tuple(
            SummaryLine(e.key.item_id, exercise_name(e))
            for e, t in pairs
            if t.left and not t.grades
        ),
        sound=progress.sound,
    )


def exercise_name(exercise: Exercise) -> str:
    """Return what an item is called, and in which list."""
    return f"{exercise.title}, {exercise.name}"


def _exercise_line(exercise: Exercise, tally: Tally) -> SummaryLine:
    later = ", then right" if len(tally.grades) > 1 and tally.grades[-1] is Grade.RIGHT else ""
    asked = exercise.prompt if exercise.mode is Mode.NEXT_ITEM else exercise.answer
    detail = f"{asked[:1].lower()}{asked[1:]}" if exercise.mode is Mode.NEXT_ITEM else asked
    return SummaryLine(exercise.key.item_id, exercise_name(exercise), f"{detail}{later}")
