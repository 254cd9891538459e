"""Turns an item and a flight into an expectation with everything resolved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.model.checklist import Checklist, Item, Response
from callout.core.model.conditions import condition_applies
from callout.core.model.expectation import (
    Answer,
    Expectation,
    Part,
    Value,
    ValueKind,
    Words,
    WrongReply,
)
from callout.core.model.flight import Flight
from callout.core.planning.consistency import plain_text
from callout.core.planning.quantities import ValueMissing, missing_names, text_of
from callout.core.planning.slot_values import shown_value, value_of, with_options
from callout.core.planning.templates import Slot, names_in, slots_of, split_template
from callout.core.sentences import planning as sentences
from callout.errors import ChecklistInvalid


def expectation_for(
    checklist: Checklist, item: Item, flight: Flight, tables: Tables
) -> Expectation:
    """Return what ``item`` expects to hear on this flight.

    Raises ValueMissing when a quantity is not known, ChecklistInvalid when one cannot be used.
    """
    replies = (*item.responses, *item.also)
    accepted = tuple(answer_for(response, item, flight, tables) for response in replies)
    before, after = neighbour_items(checklist, item, flight)
    return Expectation(
        accepted=accepted,
        wrong=_wrong_replies(item, accepted, flight, tables),
        challenge=item.spoken,
        actual_status=item.actual_status,
        as_required_with_status=item.as_required,
        previous=_answers_of(before, flight, tables),
        following=_answers_of(after, flight, tables),
        contrasts=checklist.contrasts,
        synonyms=checklist.synonyms,
    )


def missing_quantities(item: Item, flight: Flight) -> tuple[str, ...]:
    """Return the unknown quantities and words the item needs, in order of mention."""
    return missing_names((*item.needs, *_named_quantities(item, flight)), flight)


def names_of(item: Item, flight: Flight) -> tuple[str, ...]:
    """Return the quantities an item answers with, and their inputs."""
    return with_inputs(tuple(_named_quantities(item, flight)), flight)


def with_inputs(names: Sequence[str], flight: Flight) -> tuple[str, ...]:
    """Return quantities with their inputs, and the quantities their tables are looked up by."""
    wanted = list(names)
    found: dict[str, None] = {}
    while wanted:
        name = wanted.pop(0)
        if name not in found:
            wanted += _quantity_inputs(name, flight)
        found[name] = None
    return tuple(found)


def _quantity_inputs(name: str, flight: Flight) -> tuple[str, ...]:
    declared = flight.quantities.get(name)
    if declared and declared.expression:
        return names_in(declared.expression)
    table = flight.look_up(name) if declared and declared.number is None else None
    return (table.by,) if table else ()


def _named_quantities(item: Item, flight: Flight) -> Iterator[str]:
    """Yield the quantities in an item's replies, and those that its named texts depend on."""
    for response in (*item.responses, *item.also):
        for slot in slots_of(response.text):
            for name in slot.names:
                if name in flight.compared:
                    yield from (quantity for _, quantity in flight.compared[name].of)
                elif name not in flight.words:
                    yield name


def answer_for(response: Response, item: Item, flight: Flight, tables: Tables) -> Answer:
    """Return one response with its values filled in; raise ValueMissing or ChecklistInvalid."""
    try:
        return _fill_answer(response, flight, tables)
    except ValueMissing:
        raise
    except ChecklistInvalid as error:
        where = f"{item.origin.file}, line {response.line}: " if item.origin.file else ""
        raise ChecklistInvalid(f"{where}{item.id}: {error.message}", error.hint) from error


def neighbour_items(
    checklist: Checklist, item: Item, flight: Flight
) -> tuple[Item | None, Item | None]:
    """Return the items before and after ``item`` that may apply on this flight."""
    items = checklist.items
    at = next(n for n, other in enumerate(items) if other.id == item.id)
    before = (i for i in reversed(items[:at]) if condition_applies(i.when, flight) is not False)
    after = (i for i in items[at + 1 :] if condition_applies(i.when, flight) is not False)
    return next(before, None), next(after, None)


def _fill_answer(response: Response, flight: Flight, tables: Tables) -> Answer:
    """Put the numbers into the text, parse it like a handwritten one, and refine its values."""
    source, text = "", ""
    slots: dict[int, _Filled] = {}
    pieces = [_with_words(piece, flight, tables) for piece in split_template(response.text)]
    for piece, following in zip(pieces, [*pieces[1:], ""], strict=True):
        if isinstance(piece, str):
            source, text = source + piece, text + piece
            continue
        value = value_of(piece, response, flight, tables)
        unit = _unit_after(following, tables) if isinstance(following, str) else None
        source += shown_value(value, unit=False)
        text += shown_value(value, unit=unit is None)
        at = _count_values(source, tables) - 1
        slots[-1 if at in slots else at] = _Filled(value, unit)
    return Answer(_refined_parts(source, slots, response, tables), " ".join(text.split()))


def _refined_parts(
    source: str, slots: Mapping[int, _Filled], response: Response, tables: Tables
) -> tuple[Part, ...]:
    """Parse ``source``; slots are numbered by the values before them."""
    parts: list[Part] = []
    values = 0
    for part in parse_answer(source, tables).parts:
        slot = slots.get(values) if isinstance(part, Value) else None
        values += isinstance(part, Value)
        parts.append(slot.refine(part) if slot else with_options(part, response, tables))
    if values < len(slots) or any(at not in range(values) for at in slots):
        raise ChecklistInvalid(f'the numbers in "{source}" cannot be told apart.', _SPACES)
    return tuple(parts)


_SPACES = sentences.BRACES_SPACE_HINT


@dataclass(frozen=True, slots=True)
class _Filled:
    """A slot's value, and the unit written after it in the text."""

    value: Value
    unit: str | None

    def refine(self, read: Part) -> Value:
        """Return the value with what its place in the text says about it."""
        value = self.value
        if not isinstance(read, Value) or read.number != value.number:
            fault = f"the number {value.number} cannot be read in its place."
            raise ChecklistInvalid(fault, _SPACES)
        if self.unit and value.unit not in (None, self.unit):
            fault = sentences.written_after_a_value(self.unit, value.unit)
            raise ChecklistInvalid(fault, sentences.write_unit(value.unit))
        return replace(
            value,
            unit=value.unit or read.unit,
            kind=read.kind if value.kind is ValueKind.NUMBER else value.kind,
            digits=value.digits or read.digits,
        )


def _with_words(piece: str | Slot, flight: Flight, tables: Tables) -> str | Slot:
    """Replace slots that name a text of the flight with that text."""
    if isinstance(piece, Slot):
        return text_of(piece.source, flight, tables) or piece
    return piece


def _unit_after(following: str, tables: Tables) -> str | None:
    """Return the unit that the words after a value begin with."""
    head = parse_answer(f"7{following}", tables).parts[0]
    return head.unit if isinstance(head, Value) and head.number == 7 else None


def _count_values(text: str, tables: Tables) -> int:
    return sum(isinstance(part, Value) for part in parse_answer(text, tables).parts)


def _wrong_replies(
    item: Item, accepted: tuple[Answer, ...], flight: Flight, tables: Tables
) -> tuple[WrongReply, ...]:
    """Return the named wrong replies, except one that is right on this flight."""
    replies = []
    for wrong in item.wrong:
        try:
            answer = answer_for(wrong.response, item, flight, tables)
        except ValueMissing:
            continue
        if not any(_covers_right(right, answer) for right in accepted):
            replies.append(WrongReply(answer, wrong.because))
    return tuple(replies)


def _covers_right(right: Answer, wrong: Answer) -> bool:
    """True when a reply named as wrong would count as ``right`` on this flight."""
    return len(right.parts) == len(wrong.parts) and all(map(_covers_part, right.parts, wrong.parts))


def _covers_part(right: Part, wrong: Part) -> bool:
    if isinstance(right, Value) and isinstance(wrong, Value):
        same_unit = right.unit == wrong.unit
        return same_unit and abs(right.number - wrong.number) <= right.tolerance
    if isinstance(right, Words) and isinstance(wrong, Words):
        return plain_text(right.text) == plain_text(wrong.text)
    return False


def _answers_of(item: Item | None, flight: Flight, tables: Tables) -> tuple[Answer, ...]:
    """Return a neighbour's accepted answers, except those that cannot be computed yet."""
    answers = []
    if item is not None:
        for response in item.responses:
            with suppress(ValueMissing):
                answers.append(answer_for(response, item, flight, tables))
    return tuple(answers)
