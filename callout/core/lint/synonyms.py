"""A list's own synonyms: other words for the same thing, never for the contrary."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.language.words import turns_round, words
from callout.core.lint.finding import Remark, Subject
from callout.core.planning.consistency import plain


def contrary_synonym(subject: Subject) -> Iterator[Remark]:
    """A synonym that would make a wrong reply right."""
    checklist = subject.checklist
    wrong = {plain(w.response.text): i for i in checklist.items for w in i.wrong}
    for said, listed in checklist.synonyms.items():
        if _contrary(said, listed, subject):
            fault = f'the synonym "{said}: {listed}" joins two words that exclude one another.'
            yield Remark(checklist.origin.line, fault, "Delete it; the judge leaves it out.")
        elif plain(said) in wrong:
            item = wrong[plain(said)]
            fault = f'the synonym "{said}: {listed}" uses a reply named as wrong at "{item.id}".'
            yield Remark(checklist.origin.line, fault, "Delete it; it is not used there.")


def _contrary(said: str, listed: str, subject: Subject) -> bool:
    tables = subject.tables
    pair = {plain(said), plain(listed)}
    own = any(pair <= {plain(w) for w in group} for group in subject.checklist.contrasts)
    return own or turns_round(words(said, tables), words(listed, tables), tables)
