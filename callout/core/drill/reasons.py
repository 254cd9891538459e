"""What "why?" answers in a drill: nothing that would give away the exercise."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.drill.exercise import Exercise
from callout.core.drill.state import DrillProgress
from callout.core.sentences import conversation
from callout.core.sentences import drill as sentences


def reasons_for(progress: DrillProgress) -> Iterator[str]:
    """Yield sentences: about the item just answered, and about this one unless that gives it
    away.
    """
    before = None if progress.before is None else progress.exercises[progress.before]
    now = progress.exercise
    if before is not None and (now is None or now.key != before.key):
        yield _of(before)
    if now is not None:
        yield sentences.ANSWER_FIRST if now.given_away else _of(now)


def _of(exercise: Exercise) -> str:
    if exercise.why:
        return sentences.reason_of(exercise.name, exercise.why)
    return conversation.no_reason_given(exercise.name)
