"""Builds the phrases to listen for at one item from what it expects."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from callout.core.judging.contrast import (
    contrasting_replies,
    near_values,
    sounds_alike_at_its_end,
)
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Answer, Expectation, Part, Value, Words, phrase
from callout.core.model.verdict import Verdict
from callout.core.understanding.fuller_answers import FullerReplies

FORMS = 10
"""Number of forms of an expected answer that are listened for."""
NEAR_FORMS = 4
"""The same for a number that differs in one digit."""
ECHO_FORMS = 2
"""Number of forms also listened for after the words of the challenge ("beacon on")."""
STATUS_TAILS = ("set", "checked")
"""Words that often follow a value ("one zero one three set"). Common practice."""


def candidates_for(
    expectation: Expectation,
    commands: Iterable[Sequence[str]],
    tables: Tables,
    item_id: str = "",
) -> CandidateSet:
    """Return every phrase worth telling apart at an item, the first role of a phrase winning.

    Accepted answers, named wrong replies, contrary states and near numbers, the neighbours'
    answers, and the spoken commands, in this order. commands: the ways to say one command each.
    """
    chosen: dict[str, Candidate] = {}
    taken: set[str] = set()
    for candidate in _all_candidates(expectation, commands, tables):
        forms = tuple(f for f in dict.fromkeys(candidate.forms) if _sound_key(f) not in taken)
        text = candidate.text
        if forms and text in chosen and candidate.role is CandidateRole.COMMAND:
            text = forms[0]  # only this way to say it is a reply here
        if forms and text not in chosen:
            chosen[text] = replace(candidate, text=text, forms=forms)
            taken.update(map(_sound_key, forms))
    fuller = FullerReplies(expectation, tables) if expectation.accepted else None
    return CandidateSet(item_id, tuple(chosen.values()), fuller)


def _sound_key(form: str) -> str:
    """Return what two spellings of the same words share ("stand by", "standby")."""
    return form.replace(" ", "")


def _all_candidates(
    expectation: Expectation, commands: Iterable[Sequence[str]], tables: Tables
) -> Iterator[Candidate]:
    challenge = " ".join(expectation.challenge.lower().split())
    for answer in expectation.accepted:
        yield _accepted_candidate(answer, challenge, tables)
    for wrong in expectation.wrong:
        yield _echoed_candidate(
            _plain_candidate(wrong.answer, CandidateRole.WRONG, tables), challenge
        )
    for answer in expectation.accepted:
        for contrary in _contrary_candidates(answer, expectation, tables):
            yield _echoed_candidate(contrary, challenge)
        yield from (
            _plain_candidate(phrase(text), CandidateRole.CONTRAST, tables)
            for text in (*reversed_states(answer, tables), *_under_way(answer))
        )
    for answer in (*expectation.previous, *expectation.following):
        yield _plain_candidate(answer, CandidateRole.NEIGHBOUR, tables)
    for phrases in commands:
        forms = tuple(_command_words(phrase, tables) for phrase in phrases)
        yield Candidate(phrases[0], CandidateRole.COMMAND, forms)


def _accepted_candidate(answer: Answer, challenge: str, tables: Tables) -> Candidate:
    values = _answer_values(answer)
    forms = (*spoken_forms(answer, tables, FORMS), *_bare_values(answer, tables))
    tails = tuple(f"{f} {t}" for f in forms[:ECHO_FORMS] for t in STATUS_TAILS if values)
    plain = Candidate(answer.text, CandidateRole.ACCEPTED, (*forms, *tails), values)
    return _echoed_candidate(plain, challenge)


def _echoed_candidate(candidate: Candidate, challenge: str) -> Candidate:
    """Return a candidate that may also follow the words of the challenge.

    Wrong answers too: otherwise "fuel closed and unlocked" would be nearest to "fuel closed and
    locked".
    """
    if not challenge or not challenge.isascii():
        return candidate
    echoes = (f"{challenge} {form}" for form in candidate.forms[:ECHO_FORMS])
    return replace(candidate, forms=(*candidate.forms, *echoes))


def _bare_values(answer: Answer, tables: Tables) -> tuple[str, ...]:
    """Return the ways to say the value alone ("four two seven one"), if the judge accepts them."""
    values = _answer_values(answer)
    if len(values) != 1 or len(answer.parts) == 1:
        return ()
    forms = spoken_forms(Answer(values, answer.text), tables, NEAR_FORMS)
    alone = Expectation((answer,))
    return tuple(f for f in forms if judge_reply(f, alone, tables).verdict is Verdict.MATCH)


def _plain_candidate(
    answer: Answer, role: CandidateRole, tables: Tables, most: int = FORMS
) -> Candidate:
    return Candidate(answer.text, role, spoken_forms(answer, tables, most), _answer_values(answer))


def _contrary_candidates(
    answer: Answer, expectation: Expectation, tables: Tables
) -> Iterator[Candidate]:
    for text in contrasting_replies(answer, tables, expectation.contrasts):
        yield _plain_candidate(parse_answer(text, tables), CandidateRole.CONTRAST, tables)
    for i, part in enumerate(answer.parts):
        if isinstance(part, Value):
            for near in near_values(part):
                changed = (*answer.parts[:i], near, *answer.parts[i + 1 :])
                other = Answer(changed, " ".join(_shown_part(p) for p in changed))
                most = FORMS if sounds_alike_at_its_end(part, near) else NEAR_FORMS
                yield _plain_candidate(other, CandidateRole.CONTRAST, tables, most)


def reversed_states(answer: Answer, tables: Tables) -> Iterator[str]:
    """Yield the answer with one state reversed by an unstressed syllable ("closed and unarmed")."""
    said = answer.text.lower().replace("-", " ").split()
    for at, word in enumerate(said):
        for contrary in tables.reversible.get(word.strip(",."), ()):
            yield " ".join((*said[:at], contrary, *said[at + 1 :]))


def _under_way(answer: Answer) -> Iterator[str]:
    """Yield words that sound like a reached state but mean one still in progress ("armed":
    "arming").
    """
    text = answer.text.lower()
    for word in text.split():
        done = word.isalpha() and len(word) > len("shed") and word.endswith("ed")
        if done and not word.endswith(("eed", "ied")):
            yield text.replace(word, f"{word[:-2]}ing")


def _command_words(command: str, tables: Tables) -> str:
    return next(iter(spoken_forms(phrase(command), tables, 1)), command)


def _answer_values(answer: Answer) -> tuple[Value, ...]:
    return tuple(p for p in answer.parts if isinstance(p, Value))


def _shown_part(part: Part) -> str:
    if isinstance(part, Words):
        return part.text
    number = str(part.number)
    if part.digits:
        number = number.zfill(part.digits)
    return f"{number} {part.unit}" if part.unit else number
