"""A drill's records as sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from callout.core.checklist_run import wording
from callout.core.conversation.records import JournalRecord
from callout.core.drill import records as d
from callout.core.drill.exercise import Exercise
from callout.core.model.counting import counted_noun
from callout.core.sentences import session as sentences
from callout.core.sentences import telling
from callout.terminal.common_telling import tell_common
from callout.terminal.theme import VERDICT_WORD


def told_drill(records: Sequence[JournalRecord]) -> Iterator[str]:
    """Yield one sentence per record of a drill, in order."""
    exercises: tuple[Exercise, ...] = ()
    for record in records:
        if isinstance(record, d.DrillBegan):
            exercises = record.exercises
        yield _tell_record(record, exercises)


def _tell_record(record: JournalRecord, exercises: tuple[Exercise, ...]) -> str:
    number = getattr(record, "exercise", None)
    if isinstance(number, int) and 0 <= number < len(exercises):
        return _of_exercise(record, exercises[number])
    match record:
        case d.DrillBegan():
            waiting = sum(lot.waits for lot in record.lots)
            waits = f", {counted_noun(waiting, 'item')} waiting by lot" if waiting else ""
            return sentences.drill_began(counted_noun(len(record.exercises), "exercise"), waits)
        case d.DrillRemarked():
            return telling.side_remark_not_counted(wording.heard_line(record.utterance))
        case d.DrillCommanded():
            return f"  {wording.heard_line(record.utterance)} Command: {record.command.value}."
        case d.DrillEnded():
            return sentences.drill_over(record.over.value)
        case _:
            return tell_common(record) or type(record).__name__


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
            return sentences.SKIPPED
        case d.ExerciseGraded():
            return f"  Graded: {record.grade.value}."
        case _:
            return type(record).__name__
