"""What lists need to know about a flight: numbers, words and facts, in order of first mention."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from callout.core.model.checklist import Checklist, Item
from callout.core.model.flight import Flight
from callout.core.planning.quantities import missing_names
from callout.core.planning.resolve import with_inputs
from callout.core.planning.templates import slots_of


@dataclass(frozen=True, slots=True)
class Needed:
    """Names of what is needed."""

    given: tuple[str, ...]
    """Numbers that a person gives."""
    worked_out: tuple[str, ...]
    """Numbers that follow from others."""
    words: tuple[str, ...]
    facts: tuple[str, ...]

    @property
    def anything(self) -> bool:
        """Whether a person has anything to give."""
        return bool(self.given or self.words or self.facts)


def needed_values(lists: Iterable[Checklist], flight: Flight) -> Needed:
    """Return what ``lists`` need of ``flight``, with the inputs of whatever is worked out."""
    every = tuple(lists)
    named = tuple(dict.fromkeys(name for one in every for name in _names_in(one)))
    texts = tuple(name for name in named if name in flight.words)
    compared = (pair[1] for n in named if n in flight.compared for pair in flight.compared[n].of)
    numbers = [name for name in named if name not in flight.named_texts]
    with_all = with_inputs((*numbers, *compared), flight)
    worked_out = tuple(name for name in with_all if is_worked_out(name, flight))
    return Needed(
        given=tuple(name for name in with_all if name not in worked_out),
        worked_out=worked_out,
        words=texts,
        facts=tuple(dict.fromkeys(name for one in every for name in _facts_of(one))),
    )


def open_values(checklist: Checklist, flight: Flight) -> tuple[str, ...]:
    """Return the numbers that ``checklist`` needs and nobody has given yet."""
    return missing_names(needed_values([checklist], flight).given, flight)


def is_worked_out(name: str, flight: Flight) -> bool:
    """Say whether a number follows from others, by a sum or by a table."""
    known = flight.quantities.get(name)
    if known is None:
        return False
    return bool(known.expression) or (known.number is None and flight.look_up(name) is not None)


def _names_in(checklist: Checklist) -> Iterator[str]:
    for item in checklist.items:
        yield from item.needs
        for text in _texts_of(item):
            for slot in slots_of(text):
                yield from slot.names


def _texts_of(item: Item) -> Iterator[str]:
    replies = (*item.responses, *item.also, *(wrong.response for wrong in item.wrong))
    return (response.text for response in replies)


def _facts_of(checklist: Checklist) -> Iterator[str]:
    actions = (action.when for panel in checklist.flow for action in panel.actions)
    for condition in (checklist.when, *(item.when for item in checklist.items), *actions):
        yield from condition.facts if condition else ()
