"""Rules about the words of challenges and calls."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.language.words import words_of
from callout.core.lint.finding import Remark, Subject
from callout.core.model.checklist import Checklist
from callout.core.model.expectation import phrase
from callout.core.planning.consistency import plain_text
from callout.core.sentences import check_findings as sentences

ONE_BREATH = 18
"""Syllables: about four seconds at a reading pace of four to five a second."""
DONE = frozenset({"complete", "completed"})
NEGATIONS = frozenset(
    {"not", "no", "none", "never", "neither", "nor", "nothing", "nowhere", "without", "cannot"}
)
"""Small words that reverse a state and are easily lost."""
_LABELLED = frozenset({"no smoking"})
"""Names of controls that contain a negation."""


def long_challenge(subject: Subject) -> Iterator[Remark]:
    """A challenge that needs a second breath."""
    for item in subject.checklist.items:
        said = spoken_forms(phrase(item.spoken), subject.tables, 1)
        count = subject.sounds.syllables(said[0]) if said else 0
        if count > ONE_BREATH:
            message = f"the challenge has {count} syllables; one breath holds {ONE_BREATH}."
            hint = sentences.LONG_CHALLENGE_HINT
            yield Remark(item.line, message, hint, item.id)


def negative_wording(subject: Subject) -> Iterator[Remark]:
    """A reply or challenge that is reversed if one small word is lost."""
    for item in subject.checklist.items:
        for response in item.responses:
            if _is_negated(response.text, subject):
                said = f'the reply "{response.text}" is right only with its "not" or "no".'
                hint = sentences.NEGATIVE_WORDING_HINT
                yield Remark(response.line, said, hint, item.id)
        if _is_negated(item.spoken, subject):
            said = f'the challenge "{item.spoken}" asks in the negative.'
            yield Remark(item.line, said, sentences.NEGATIVE_CHALLENGE_HINT, item.id)


def completion_call(subject: Subject) -> Iterator[Remark]:
    """A completion call that does not say which list is complete."""
    checklist = subject.checklist
    call = set(plain_text(checklist.completion_call).split())
    if not call & DONE:
        said = f'the completion call "{checklist.completion_call}" does not say "complete".'
        yield Remark(
            checklist.origin.line, said, sentences.completion_call_hint(usual_call(checklist))
        )
        return
    names = plain_text(f"{checklist.title} {' '.join(checklist.triggers)}").split()
    if not call & (set(names) - {"checklist", "list", "the", "and"} - DONE):
        said = f'the completion call "{checklist.completion_call}" does not name the list.'
        yield Remark(
            checklist.origin.line, said, sentences.completion_call_hint(usual_call(checklist))
        )


def same_call(subject: Subject) -> Iterator[Remark]:
    """Two lists of one aircraft with the same trigger or completion call."""
    checklist = subject.checklist
    for call in sorted(calls_of(checklist)):
        owner = subject.calls.get(call, checklist.id)
        if owner != checklist.id:
            said = f'"{call}" also belongs to the list "{owner}".'
            hint = sentences.SAME_CALL_HINT
            yield Remark(checklist.origin.line, said, hint)


def usual_call(checklist: Checklist) -> str:
    """Return the completion call a list with this title usually has."""
    return f"{checklist.title.casefold()} checklist complete"


def calls_of(checklist: Checklist) -> set[str]:
    """Return the list's triggers and completion call, without case and punctuation."""
    return {plain_text(call) for call in (*checklist.triggers, checklist.completion_call)}


def _is_negated(text: str, subject: Subject) -> bool:
    return _has_negation(text, subject.tables)


@lru_cache(maxsize=8192)
def _has_negation(text: str, tables: Tables) -> bool:
    bare = plain_text(text)
    for label in _LABELLED:
        bare = bare.replace(label, "")
    return any(word in NEGATIONS for word in words_of(bare, tables))
