"""A list's own synonyms: other words for the same thing, never for its contrary."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.language.words import turns_round, words_of
from callout.core.lint.finding import Remark, Subject
from callout.core.planning.consistency import plain_text
from callout.core.sentences import check_findings as sentences


def contrary_synonym(subject: Subject) -> Iterator[Remark]:
    """A synonym that would make a wrong reply right."""
    checklist = subject.checklist
    wrong = {plain_text(w.response.text): i for i in checklist.items for w in i.wrong}
    for said, listed in checklist.synonyms.items():
        if _is_contrary(said, listed, subject):
            fault = f'the synonym "{said}: {listed}" joins two words that exclude one another.'
            yield Remark(checklist.origin.line, fault, sentences.CONTRARY_SYNONYM_HINT)
        elif plain_text(said) in wrong:
            item = wrong[plain_text(said)]
            fault = f'the synonym "{said}: {listed}" uses a reply named as wrong at "{item.id}".'
            yield Remark(checklist.origin.line, fault, sentences.UNUSED_SYNONYM_HINT)


def _is_contrary(said: str, listed: str, subject: Subject) -> bool:
    tables = subject.tables
    pair = {plain_text(said), plain_text(listed)}
    own = any(pair <= {plain_text(w) for w in group} for group in subject.checklist.contrasts)
    return own or turns_round(words_of(said, tables), words_of(listed, tables), tables)
