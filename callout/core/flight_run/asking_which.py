"""Questions asked between lists, and what is asked about a name that no list has."""

from __future__ import annotations

from callout.core.flight_run import calls, wording
from callout.core.flight_run import records as s
from callout.core.flight_run.questions import DeskQuestion
from callout.core.flight_run.turn import DeskTurn
from callout.core.model.utterance import Utterance
from callout.core.sentences import flight as sentences


def put_question(turn: DeskTurn, question: DeskQuestion, list_id: str = "") -> None:
    """Ask a yes-or-no question."""
    turn.record(s.DeskAsked(question=question, list_id=list_id))
    turn.tell(wording.question_words(turn.context, turn.progress))


def ask_unsure(turn: DeskTurn, utterance: Utterance) -> None:
    """Ask about a call that was not heard for certain; other talk is the crew's own business."""
    words = calls.names_a_list(utterance)
    if words and not turn.progress.question:
        turn.set(heard=utterance, lines=())
        ask_which(turn, words, utterance)


def ask_which(turn: DeskTurn, words: str, utterance: Utterance) -> None:
    """Say that no list has this name, and ask about a list with a similar one; no guessing."""
    turn.cut()
    turn.record(s.DeskMisunderstood(utterance=utterance))
    near = calls.similar_list(words, turn.context.lists)
    if near is None:
        turn.tell(sentences.no_such_list(words))
    else:
        put_question(turn, DeskQuestion.MEANT, near.id)
