"""Rules about numbers written in a list although the flight data contain them."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.language.tables import Tables
from callout.core.lint.finding import Remark, Subject
from callout.core.model.checklist import Item, Response
from callout.core.model.flight import Flight, FlightQuantity
from callout.core.planning.consistency import plain_text
from callout.core.planning.templates import slots_of
from callout.core.planning.unit_names import unit_named
from callout.core.sentences import check_findings as sentences


def fixed_value(subject: Subject) -> Iterator[Remark]:
    """A number written in the list although the flight has a quantity of that name."""
    flight = subject.flight
    if flight is None:
        return
    for item in subject.checklist.items:
        for response in item.responses:
            known = _known_quantity(item, response, flight, subject.tables)
            if known:
                said = f'the list has a number of its own for the "{known.spoken_name}".'
                hint = sentences.fixed_value_hint(known.name)
                yield Remark(response.line, said, hint, item.id)
                break


def _known_quantity(
    item: Item, response: Response, flight: Flight, tables: Tables
) -> FlightQuantity | None:
    """Return the quantity that the written number stands for."""
    literals = [slot.literal for slot in slots_of(response.text) if slot.literal]
    if not literals:
        return None
    unit = unit_named(response.unit or literals[0][1], tables)
    called = {plain_text(response.name), plain_text(item.challenge), plain_text(item.spoken)} - {""}
    for declared in flight.quantities.values():
        own = {plain_text(declared.spoken_name), plain_text(declared.name.replace("_", " "))}
        if own & called and unit_named(declared.unit, tables) in (unit, None):
            return declared
    return None
