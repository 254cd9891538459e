"""One pass over what was read in: doubts are asked about, and anything can be changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Protocol

from callout.core.authoring.asking import (
    Question,
    answer_question,
    change_guess,
    questions_of,
)
from callout.core.authoring.guesses import Guess, Reading, with_guess
from callout.core.authoring.splitting import split_text
from callout.core.sentences import authoring as say
from callout.errors import ChecklistInvalid

Rivals = Mapping[str, frozenset[str]]


class Asker(Protocol):
    """Shows a question and returns the answer."""

    def __call__(self, guess: Guess, number: int, question: Question) -> str:
        """Return the answer to ``question`` about item ``number``; empty for the usual one."""


def confirm_doubts(
    reading: Reading, rivals: Rivals, ask: Asker, refuse: Callable[[str], None]
) -> Reading:
    """Ask once about everything that is in doubt; unanswered questions stay open."""
    for at in range(len(reading.guesses)):
        asked: set[str] = set()
        while True:
            guess = reading.guesses[at]
            left = [q for q in questions_of(guess) if q.doubt.value not in asked]
            if not left or not guess.kept:
                break
            question = left[0]
            try:
                answer = ask(guess, at + 1, question)
                reading = answer_question(reading, at, question.doubt, answer, rivals)
            except ChecklistInvalid as error:
                refuse(f"{error.message} {error.hint}")
                continue
            asked.add(question.doubt.value)
    return reading


def change_lines(
    reading: Reading, rivals: Rivals, ask: Callable[[str], str], refuse: Callable[[str], None]
) -> Reading:
    """Let the person name items to change, until an empty answer."""
    while number := ask(say.ASK_CHANGE).strip():
        if not number.isdigit() or not 1 <= int(number) <= len(reading.guesses):
            refuse(say.no_such_item(number, len(reading.guesses)))
            continue
        at = int(number) - 1
        words = ask(say.ASK_WORDS).strip()
        if words == "-":
            reading = with_guess(reading, at, replace(reading.guesses[at], kept=False))
        elif words:
            halves = split_text(words)
            reading = change_guess(reading, at, halves.challenge, halves.response, rivals)
    return reading
