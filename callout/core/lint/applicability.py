"""Rules about conditions, checked for every possible set-up."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from callout.core.lint.finding import Remark, Subject
from callout.core.lint.truth_tables import (
    MOST_FACTS,
    TooManyFacts,
    is_always,
    is_possible,
    one_implies,
)
from callout.core.model.checklist import Item
from callout.core.model.conditions import Condition
from callout.core.planning.consistency import plain_text
from callout.core.sentences import check_findings as sentences

Conditional = tuple[str, int, Condition, str]
"""Name, line, condition and item id of something with a condition."""


def never_applies(subject: Subject) -> Iterator[Remark]:
    """A condition that no set-up fulfils."""
    for name, line, condition, item_id in _conditional_parts(subject):
        if _solve_question(is_possible, condition, subject.checklist.when) is False:
            said = f'{name} never applies: "{condition.text}" is true in no set-up'
            more = "." if not subject.checklist.when else " in which the list applies."
            hint = sentences.NEVER_APPLIES_HINT
            yield Remark(line, said + more, hint, item_id)


def always_applies(subject: Subject) -> Iterator[Remark]:
    """A condition that is always true."""
    whole = subject.checklist.when
    for name, line, condition, item_id in _conditional_parts(subject):
        if _solve_question(is_always, condition):
            said = sentences.always_applies(name, condition.text)
            yield Remark(line, said, sentences.ALWAYS_APPLIES_HINT, item_id)
        elif (
            whole is not None
            and condition is not whole
            and _solve_question(one_implies, whole, condition)
        ):
            said = sentences.repeats_list_condition(name, condition.text)
            yield Remark(line, said, sentences.REPEATED_CONDITION_HINT, item_id)


def asked_twice(subject: Subject) -> Iterator[Remark]:
    """Two lines with the same challenge that some set-up asks both of."""
    alike: dict[str, list[Item]] = {}
    for item in subject.checklist.items:
        alike.setdefault(plain_text(item.spoken), []).append(item)
    for one, other in (pair for items in alike.values() for pair in combinations(items, 2)):
        if _solve_question(is_possible, one.when, other.when):
            said = f'"{other.spoken}" can be asked twice: line {one.line} may apply as well.'
            hint = sentences.ASKED_TWICE_HINT
            yield Remark(other.line, said, hint, other.id)


def many_facts(subject: Subject) -> Iterator[Remark]:
    """A condition over too many facts to set up."""
    for name, line, condition, item_id in _conditional_parts(subject):
        if _solve_question(is_always, condition) is None:
            said = sentences.too_many_facts(name, len(condition.facts), MOST_FACTS)
            hint = sentences.TOO_MANY_FACTS_HINT
            yield Remark(line, said, hint, item_id)


def _conditional_parts(subject: Subject) -> Iterator[Conditional]:
    checklist = subject.checklist
    if checklist.when:
        yield "the list", checklist.origin.line, checklist.when, ""
    for item in checklist.items:
        if item.when:
            yield f'"{item.challenge}"', item.line, item.when, item.id
    for panel in checklist.flow:
        for action in panel.actions:
            if action.when:
                yield f'"{action.control}" in the flow', action.origin.line, action.when, ""


def _solve_question(question: object, *conditions: Condition | None) -> bool | None:
    """Return the answer to ``question``; None if there are too many facts to tell."""
    assert callable(question)
    try:
        return bool(question(*conditions))
    except TooManyFacts:
        return None
