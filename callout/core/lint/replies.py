"""Rules about what is said in reply."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations, product
from typing import Final

from callout.core.judging.contrast import contrasting_replies
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import PhraseIndex, Tables
from callout.core.language.words import normalise_text, phrase_at
from callout.core.lint.finding import Remark, Subject
from callout.core.lint.phonemes import Phonemes, Pronunciations, phoneme_distance
from callout.core.lint.truth_tables import TooManyFacts, is_possible
from callout.core.model.checklist import Item, Response
from callout.core.model.conditions import Condition, Not
from callout.core.model.expectation import Answer, Value, Words
from callout.core.planning.consistency import plain_text
from callout.core.planning.templates import slots_of
from callout.core.sentences import check_findings as sentences

STATELESS = ("brief", "review", "checklist", "document", "paperwork", "clearance", "log", "walk")
"""Challenges with one of these words have no state to read back: they are done or not done."""
_NOT_A_STATE: Final = re.compile(r"\b(?:in|to|on|at|off)\s+(?=the\b|a\b)|\b(?:take|run|cut)-off\b")
"""Words of place, which are not positions of a control: "in the green"."""
NEAR = 3
"""Items that may drop out between two that then become neighbours."""
ALIKE = 0.75
"""Phonemes: replies this close are confused in noise, however long they are."""
ALIKE_LONG, ALIKE_SHARE = 1.0, 0.25
"""The same for longer replies: one phoneme, and at most a quarter of it."""


def vague_response(subject: Subject) -> Iterator[Remark]:
    """A reply that says "done" without naming a state."""
    for item in subject.checklist.items:
        if has_state(item):
            for response in item.responses:
                if is_vague(response, subject):
                    said = f'"{response.text}" does not say what state "{item.challenge}" is in.'
                    hint = sentences.VAGUE_RESPONSE_HINT
                    yield Remark(response.line, said, hint, item.id)


def bare_allowed(subject: Subject) -> Iterator[Remark]:
    """A critical item that takes "checked" for an answer."""
    for item in subject.checklist.items:
        if item.critical and not item.actual_status:
            said = f'"{item.challenge}" is critical, yet a bare "checked" or "set" would do.'
            yield Remark(item.line, said, sentences.BARE_ALLOWED_HINT, item.id)


def missing_opposite(subject: Subject) -> Iterator[Remark]:
    """An item for which no wrong reply is known."""
    for item in subject.checklist.items:
        stated = item.wrong or item.leads or not has_state(item)
        if stated or any(_has_value(r, subject) for r in item.responses):
            continue
        if not any(is_vague(r, subject) or contrary_replies(r, subject) for r in item.responses):
            said = f'no wrong reply is known for "{item.challenge}: {item.responses[0].text}".'
            hint = sentences.MISSING_OPPOSITE_HINT
            yield Remark(item.line, said, hint, item.id)


def same_response(subject: Subject) -> Iterator[Remark]:
    """Two consecutive items with the same reply."""
    items = subject.checklist.items
    for at, item in enumerate(items):
        for gap, other in enumerate(items[at + 1 : at + 2 + NEAR]):
            between = items[at + 1 : at + 1 + gap]
            shared = _shared_reply(item, other)
            if shared and _can_meet(subject, item, between, other):
                said = f'"{item.challenge}" and "{other.challenge}" both take "{shared}".'
                hint = sentences.SAME_RESPONSE_HINT
                yield Remark(other.line, said, hint, other.id)
                break


def sounds_alike(subject: Subject) -> Iterator[Remark]:
    """A right and a wrong reply that sound the same in a noisy cockpit."""
    for item in subject.checklist.items:
        yield from _leads_alike(item, subject)
        rights = [r for r in (*item.responses, *item.also) if not slots_of(r.text)]
        wrongs = [w.response.text for w in item.wrong if not slots_of(w.response.text)]
        for right in rights:
            against = (*wrongs, *contrary_replies(right, subject))
            for wrong in dict.fromkeys(against):
                if _alike_in_sound(right.text, wrong, subject):
                    said = f'"{right.text}" sounds like the wrong reply "{wrong}".'
                    hint = sentences.SOUNDS_ALIKE_HINT
                    yield Remark(right.line, said, hint, item.id)
                    break


def _leads_alike(item: Item, subject: Subject) -> Iterator[Remark]:
    """Yield replies to one question that sound alike but lead to different places."""
    for one, other in combinations(item.leads, 2):
        for here, there in product(one.responses, other.responses):
            literal = not slots_of(here.text) and not slots_of(there.text)
            if one.to != other.to and literal and _alike_in_sound(here.text, there.text, subject):
                said = f'"{here.text}" sounds like "{there.text}", which leads another way.'
                hint = sentences.SOUNDS_ALIKE_HINT
                yield Remark(here.line, said, hint, item.id)


def has_state(item: Item) -> bool:
    """Say whether there is a position or value to read back."""
    words = plain_text(item.spoken).split()
    return not any(word.startswith(start) for word, start in product(words, STATELESS))


def is_vague(response: Response, subject: Subject) -> bool:
    """Say whether a reply is nothing but "checked", "set", "as required" and the like."""
    tables = subject.tables
    tokens = normalise_text(response.text, tables, subject.checklist.synonyms).tokens
    at, found = 0, False
    while at < len(tokens):
        length = _longest_run(tokens, at, (tables.bare, tables.as_required))
        if not length and tokens[at].text not in tables.skip_words:
            return False
        found = found or bool(length)
        at += max(1, length)
    return found


def _has_value(response: Response, subject: Subject) -> bool:
    return bool(slots_of(response.text)) or _holds_number(response.text, subject.tables)


@lru_cache(maxsize=8192)
def _holds_number(text: str, tables: Tables) -> bool:
    return any(isinstance(part, Value) for part in parse_answer(text, tables).parts)


def _longest_run(tokens: tuple[object, ...], at: int, indexes: tuple[PhraseIndex, ...]) -> int:
    found = (phrase_at(tokens, at, index) for index in indexes)  # type: ignore[arg-type]
    return max((length for length, _ in filter(None, found)), default=0)


def contrary_replies(response: Response, subject: Subject) -> tuple[str, ...]:
    """Return the contrary replies the tables know, without the mere "not ..."."""
    if slots_of(response.text):
        return ()
    return _contrary_texts(response.text, subject.tables, subject.checklist.contrasts)


@lru_cache(maxsize=8192)
def _contrary_texts(
    text: str, tables: Tables, contrasts: tuple[tuple[str, ...], ...]
) -> tuple[str, ...]:
    known = parse_answer(_NOT_A_STATE.sub(" ", text.casefold()), tables)
    found = contrasting_replies(known, tables, contrasts)
    return tuple(text for text in found if not text.startswith("not "))


def _shared_reply(item: Item, other: Item) -> str:
    theirs = {plain_text(response.text) for response in other.responses}
    return next((r.text for r in item.responses if plain_text(r.text) in theirs), "")


def _can_meet(subject: Subject, item: Item, between: tuple[Item, ...], other: Item) -> bool:
    """Say whether some set-up makes the two items neighbours."""
    if any(middle.when is None for middle in between):
        return False
    absent = [
        Condition(f"not ({c.text})", Not(c.term)) for m in between if (c := m.when) is not None
    ]
    try:
        return is_possible(subject.checklist.when, item.when, other.when, *absent)
    except TooManyFacts:
        return not between


def _alike_in_sound(right: str, wrong: str, subject: Subject) -> bool:
    return _sound_alike(right, wrong, subject.tables, subject.sounds)


@lru_cache(maxsize=8192)
def _sound_alike(right: str, wrong: str, tables: Tables, sounds: Pronunciations) -> bool:
    one, other = _phonemes_of(right, tables, sounds), _phonemes_of(wrong, tables, sounds)
    if one is None or other is None:
        return False
    apart = phoneme_distance(one, other)
    share = apart / max(len(one), len(other), 1)
    return apart <= ALIKE or (apart <= ALIKE_LONG and share <= ALIKE_SHARE)


def _phonemes_of(text: str, tables: Tables, sounds: Pronunciations) -> Phonemes | None:
    said = spoken_forms(Answer((Words(text),), text), tables, 1)
    return sounds.of(said[0]) if said else None
