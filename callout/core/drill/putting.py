"""Puts exercises one after another, and grades each."""

from __future__ import annotations

from callout.core.conversation.withholding import Reveal
from callout.core.drill import records as d
from callout.core.drill.evidence import Grade
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.turn import DrillTurn
from callout.core.drill.viewing import FOLLOWS, task_words
from callout.core.model.counting import counted_noun
from callout.core.sentences import drill as sentences


def begin_drill(turn: DrillTurn) -> None:
    """Announce the drill and put the first exercise."""
    progress = turn.progress
    count = counted_noun(len(progress.exercises), "exercise")
    time = "1 minute" if progress.minutes == 1 else f"{progress.minutes:g} minutes"
    lead = sentences.drill_opening(count, time)
    turn.news(lead)
    go_on(turn, lead)


def go_on(turn: DrillTurn, *lead: str) -> None:
    """Put the next exercise, or end."""
    progress = turn.progress
    if not progress.waiting:
        end_drill(turn, d.Over.DONE, *lead)
    elif progress.seconds_left(turn.stamp.at) <= 0:
        end_drill(turn, d.Over.TIME, *lead)
    else:
        number = progress.waiting[0]
        turn.record(d.ExercisePut(exercise=number, again=bool(progress.tallies[number].put)))
        put_exercise(turn, *lead)


def put_exercise(turn: DrillTurn, *lead: str, repeat: bool = False) -> None:
    """Say and show the exercise. repeat: nothing has been replied yet, and the clock keeps
    running.
    """
    exercise = turn.progress.exercise
    if exercise is None:
        return
    sentence = " ".join(lead)
    if turn.progress.follows:
        turn.say(*lead, FOLLOWS)
        turn.news(FOLLOWS)
    else:
        again = "Again." if turn.progress.tally.put > 1 and not turn.progress.tally.wrong else ""
        turn.say(*lead, again, exercise.spoken)
        turn.news(_exercise_line(turn, exercise))
    turn.set(sentence=sentence, lines=(), options=(), reminded=False)
    if not repeat:
        turn.time_anew()


def end_drill(turn: DrillTurn, over: d.Over, *lead: str) -> None:
    """End the drill."""
    turn.record(d.DrillEnded(over=over))
    words = {d.Over.DONE: sentences.ALL_FOR_TODAY, d.Over.TIME: sentences.TIME_IS_UP}.get(over, "")
    turn.cut()
    turn.say(*lead)
    turn.tell(sentences.drill_over(words).strip())
    turn.set(lines=(), options=())
    turn.finish()


def tell_answer(turn: DrillTurn, *lead: str) -> None:
    """Reveal the answer and grade the exercise as not known."""
    exercise = turn.progress.exercise
    assert exercise is not None
    if turn.context.pacing.reveal is Reveal.NEVER:
        grade_exercise(turn, Grade.MISSED, sentences.ANSWER_HIDDEN, exercise, *lead)
        return
    turn.record(d.ExerciseTold(exercise=turn.number))
    grade_exercise(turn, Grade.MISSED, in_words(exercise), exercise, *lead)


def in_words(exercise: Exercise) -> str:
    """Return the answer as a sentence."""
    match exercise.mode:
        case Mode.NEXT_ITEM:
            return sentences.comes_next(exercise.answer)
        case Mode.WRONG_STATE if exercise.then:
            return sentences.it_was_wrong(exercise.name, exercise.answer)
        case Mode.WRONG_STATE:
            return sentences.it_was_right(exercise.name, exercise.answer)
        case _:
            return sentences.item_answer(exercise.name, exercise.answer)


def grade_exercise(
    turn: DrillTurn, how: Grade, sentence: str, exercise: Exercise, *lead: str
) -> None:
    turn.record(d.ExerciseGraded(exercise=turn.number, grade=how))
    turn.news(sentence)
    go_on(turn, *lead, sentence)


def leave_exercise(turn: DrillTurn, sentence: str) -> None:
    turn.record(d.ExerciseLeft(exercise=turn.number))
    turn.news(sentence)
    go_on(turn, sentence)


def _exercise_line(turn: DrillTurn, exercise: Exercise) -> str:
    progress = turn.progress
    marks = ", critical" if exercise.critical else ""
    flight = f" (the flight has {exercise.flight})" if exercise.flight else ""
    asked = f"{exercise.prompt}{'.' if exercise.mode is Mode.WRONG_STATE else '?'}"
    again = bool(progress.tally.grades)
    place = "[again]" if again else f"[{progress.settled + 1}/{len(progress.exercises)}]"
    return f"{place} {exercise.title}{marks}: {asked}{flight} {task_words(progress)}"
