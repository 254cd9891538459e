"""From an item and a flight to an expectation with nothing left to work out."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from callout.core.checklist import Checklist, Item, Response
from callout.core.conditions import applies
from callout.core.expectation import Answer, Expectation, Part, Value, WrongReply
from callout.core.flight import Flight
from callout.core.judging.parse_answer import parse_answer
from callout.core.judging.tables import Tables
from callout.core.quantities import ValueMissing, missing_names
from callout.core.slot_values import shown, value_of, with_options
from callout.core.templates import Slot, split_template
from callout.errors import ChecklistInvalid


def expectation_for(
    checklist: Checklist, item: Item, flight: Flight, tables: Tables
) -> Expectation:
    """Return what ``item`` expects to hear on this flight.

    Raises ValueMissing when a quantity is not known, ChecklistInvalid when one cannot be used.
    """
    accepted = tuple(answer_for(response, item, flight, tables) for response in item.responses)
    before, after = neighbours(checklist, item, flight)
    return Expectation(
        accepted=accepted,
        wrong=_wrong(item, accepted, flight, tables),
        challenge=item.spoken,
        actual_status=item.actual_status,
        as_required_with_status=item.as_required,
        previous=_answers_of(before, flight, tables),
        following=_answers_of(after, flight, tables),
        contrasts=checklist.contrasts,
        synonyms=checklist.synonyms,
    )


def missing_quantities(item: Item, flight: Flight) -> tuple[str, ...]:
    """Return the quantities and words the item needs that are not known, in order of mention."""
    wanted = list(item.needs)
    for response in item.responses:
        slots = (part for part in split_template(response.text) if isinstance(part, Slot))
        wanted += [name for slot in slots for name in slot.names if name not in flight.words]
    return missing_names(wanted, flight)


def answer_for(response: Response, item: Item, flight: Flight, tables: Tables) -> Answer:
    """Return one response with its values worked out; raise ValueMissing or ChecklistInvalid."""
    try:
        return _filled(response, flight, tables)
    except ValueMissing:
        raise
    except ChecklistInvalid as error:
        where = f"{item.origin.file}, line {response.line}: " if item.origin.file else ""
        raise ChecklistInvalid(f"{where}{item.id}: {error.message}", error.hint) from error


def neighbours(checklist: Checklist, item: Item, flight: Flight) -> tuple[Item | None, Item | None]:
    """Return the items before and after ``item`` that may apply on this flight."""
    items = checklist.items
    at = next(n for n, other in enumerate(items) if other.id == item.id)
    before = (i for i in reversed(items[:at]) if applies(i.when, flight) is not False)
    after = (i for i in items[at + 1 :] if applies(i.when, flight) is not False)
    return next(before, None), next(after, None)


def _filled(response: Response, flight: Flight, tables: Tables) -> Answer:
    """Work from slot to slot: the words after a slot may begin with its unit."""
    parts: list[Part] = []
    texts: list[str] = []
    pieces = [_with_words(piece, flight) for piece in split_template(response.text)]
    while pieces:
        piece = pieces.pop(0)
        if isinstance(piece, str):
            parsed = parse_answer(piece, tables)
            parts += [with_options(part, response, tables) for part in parsed.parts]
            texts.append(piece)
            continue
        value = value_of(piece, response, flight, tables)
        following = pieces.pop(0) if pieces and isinstance(pieces[0], str) else ""
        assert isinstance(following, str)
        value, rest, unit_written = _with_unit(value, following, tables)
        parts += [value, *rest]
        texts += [shown(value, unit=not unit_written), following]
    return Answer(tuple(parts), " ".join("".join(texts).split()))


def _with_words(piece: str | Slot, flight: Flight) -> str | Slot:
    """Put a named text of the flight in place of its slot."""
    if isinstance(piece, Slot) and piece.source in flight.words:
        return flight.words[piece.source]
    return piece


def _with_unit(value: Value, following: str, tables: Tables) -> tuple[Value, list[Part], bool]:
    """Read the words after a value; a unit among them is the one it must be spoken in."""
    if not following.strip(" ,.;"):
        return value, [], False
    parsed = parse_answer(f"7{following}", tables).parts
    head = parsed[0] if parsed else None
    if not isinstance(head, Value) or head.number != 7:
        return value, list(parse_answer(following, tables).parts), False
    if head.unit is None:
        return value, list(parsed[1:]), False
    if value.unit not in (None, head.unit):
        hint = "Write the unit the flight data gives it in, or `unit:` below `text:`."
        raise ChecklistInvalid(f'"{following.strip()}" follows a value in {value.unit}.', hint)
    return replace(value, unit=head.unit), list(parsed[1:]), True


def _wrong(
    item: Item, accepted: tuple[Answer, ...], flight: Flight, tables: Tables
) -> tuple[WrongReply, ...]:
    """Return the named wrong replies; one that is right on this flight is left out."""
    replies = []
    for wrong in item.wrong:
        try:
            answer = answer_for(wrong.response, item, flight, tables)
        except ValueMissing:
            continue
        if answer.parts not in [right.parts for right in accepted]:
            replies.append(WrongReply(answer, wrong.because))
    return tuple(replies)


def _answers_of(item: Item | None, flight: Flight, tables: Tables) -> tuple[Answer, ...]:
    """Return a neighbour's accepted answers, without those that cannot be worked out yet."""
    answers = []
    if item is not None:
        for response in item.responses:
            with suppress(ValueMissing):
                answers.append(answer_for(response, item, flight, tables))
    return tuple(answers)
