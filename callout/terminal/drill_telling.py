"""A drill's records as sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from callout.core import wording
from callout.core.drill import records as d
from callout.core.drill.exercise import Exercise
from callout.core.journal_records import JournalRecord
from callout.core.sound import Disturbed
from callout.terminal.sound_telling import told_sound
from callout.terminal.theme import VERDICT_WORD


def told_drill(records: Sequence[JournalRecord]) -> Iterator[str]:
    """Yield one sentence a record of a drill, in order."""
    exercises: tuple[Exercise, ...] = ()
    for record in records:
        if isinstance(record, d.DrillBegan):
            exercises = record.exercises
        yield _tell(record, exercises)


def _tell(record: JournalRecord, exercises: tuple[Exercise, ...]) -> str:
    number = getattr(record, "exercise", None)
    if isinstance(number, int) and 0 <= number < len(exercises):
        return _of_exercise(record, exercises[number])
    match record:
        case d.DrillBegan():
            return f"Drill began: {wording.counted(len(record.exercises), 'exercise')}."
        case d.DrillRemarked():
            return f"  {wording.heard_line(record.utterance)} Side remark, not counted."
        case d.DrillCommanded():
            return f"  {wording.heard_line(record.utterance)} Command: {record.command.value}."
        case d.DrillFailed():
            return f"{record.part} failed: {record.message}"
        case d.DrillRecovered():
            return f"{record.part} is back."
        case Disturbed():
            return told_sound(record)
        case d.DrillEnded():
            return f"Drill over ({record.over.value})."
        case d.DrillSuspended():
            return f"Broken off ({record.why})."
        case _:
            return type(record).__name__


def _of_exercise(record: JournalRecord, exercise: Exercise) -> str:
    match record:
        case d.ExercisePut():
            again = ", again" if record.again else ""
            return f"{exercise.title}: {exercise.prompt} ({exercise.mode.value}{again})"
        case d.ExerciseAnswered():
            verdict = VERDICT_WORD[record.verdict]
            return f"  {wording.heard_line(record.utterance)} {verdict}: {record.reason}"
        case d.ExerciseTold():
            return f"  Told: {exercise.answer}."
        case d.ExerciseLeft():
            return "  Left out."
        case d.ExerciseGraded():
            return f"  Graded: {record.grade.value}."
        case _:
            return type(record).__name__
