"""A reworded reply must not reverse what the base list asks for."""

from __future__ import annotations

from callout.core.language.tables import Tables
from callout.core.language.words import words_of
from callout.core.model.checklist import ChangeKind, Checklist, Item, Origin
from callout.core.model.problems import FileProblems, Problem
from callout.core.sentences import overlays as sentences


def check_rewording(base: Checklist, merged: Checklist, tables: Tables) -> None:
    """Raise FileProblems when a reworded reply says the opposite of the base list's replies."""
    for item in base.items:
        after = merged.item(item.id)
        before = {response.text for response in (*item.responses, *item.also)}
        for response in (*after.responses, *after.also):
            if response.text not in before:
                _check_wording(item, response.text, _reworded_at(after), tables)


def _check_wording(item: Item, text: str, origin: Origin, tables: Tables) -> None:
    replies = [words_of(response.text, tables) for response in item.responses]
    known = {word for reply in replies for word in reply}
    said = words_of(text, tables)
    turned = [
        (word, other)
        for word in said
        for other in tables.opposites.get(word, ())
        if word not in known and other in known
    ]
    negated = any(word in tables.negations for word in said)
    if turned or negated != any(word in tables.negations for word in known):
        why = f'"{turned[0][0]}" is the opposite of "{turned[0][1]}"' if turned else '"not" differs'
        message = f'"{text}" turns round what "{item.id}" asks for: {why}.'
        hint = sentences.REWORD_ONLY
        raise FileProblems([Problem(origin.file, origin.line, message, hint)])


def _reworded_at(item: Item) -> Origin:
    reworded = (ChangeKind.REWORDED, ChangeKind.ACCEPTED)
    changes = [change for change in item.changes if change.kind in reworded]
    return changes[-1].origin if changes else item.origin
