"""A value of the flight as a person types it into a field: what is accepted, and what is wrong."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from callout.core.language.expressions import Quantity, rounded_step
from callout.core.language.tables import Tables
from callout.core.language.units import convert_unit, smallest_step
from callout.core.model.expectation import ValueKind
from callout.core.model.flight import FlightQuantity
from callout.core.planning.templates import Slot
from callout.core.planning.unit_names import unit_named
from callout.core.sentences import flight as sentences
from callout.errors import ChecklistInvalid

_NUMBER: Final = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*([A-Za-z%°].*)?", re.DOTALL)
_POSSIBLE: Final = {
    # ICAO Doc 9432 and Annex 10: headings to 360, four octal digits, runway numbers to 36
    (ValueKind.HEADING, None): (0, 360),
    (ValueKind.RUNWAY, None): (1, 36),
    (ValueKind.FLIGHT_LEVEL, None): (1, 999),
    # wider than any air pressure measured on an aerodrome: common practice
    (ValueKind.PRESSURE, "hPa"): (500, 1090),
    (ValueKind.PRESSURE, "inHg"): (15, 33),
    (ValueKind.SPEED, None): (0, 2000),
    (ValueKind.MASS, None): (0, 2_000_000),
    (ValueKind.VOLUME, None): (0, 2_000_000),
    (ValueKind.TIME, None): (0, 100_000),
}
"""Kind and unit -> what can be; kinds without a line can have any number."""
_LONGEST: Final = 12


@dataclass(frozen=True, slots=True)
class Typed:
    """A value that can be kept. text: as the flight file has it, unit included."""

    text: str
    number: Decimal
    unit: str | None


def typed_value(words: str, about: FlightQuantity, tables: Tables) -> Typed:
    """Return the value that ``words`` give for ``about``; raises ChecklistInvalid."""
    name = about.spoken_name
    found = _NUMBER.fullmatch(" ".join(words.split()).replace("−", "-"))
    if found is None or len(found[1].replace(".", "")) > _LONGEST:
        hint = sentences.TYPE_POINT if re.search(r"\d,\d", words) else example_of(about)
        raise ChecklistInvalid(sentences.not_a_number(name), hint)
    digits, unit = found[1].lstrip("+"), (found[2] or "").strip()
    number = Decimal(digits)
    if unit and about.unit:
        _check_unit(number, unit, about, tables)
    elif unit:
        unit_named(unit, tables)
    _check_possible(digits, number, about)
    own = about.unit or unit
    text = f"{digits} {own}" if own and Slot(f"{digits} {own}").literal else digits
    return Typed(text, number, own or None)


def _check_unit(number: Decimal, unit: str, about: FlightQuantity, tables: Tables) -> None:
    own = unit_named(about.unit, tables) or ""
    given = unit_named(unit, tables) or ""
    if given == own:
        return
    there = convert_unit(number, given, own)
    if there is None:
        hint = sentences.type_in_unit(str(about.unit))
        raise ChecklistInvalid(sentences.other_measure(unit, str(about.unit)), hint)
    rounded = rounded_step(Quantity(there, own), smallest_step(own, tables), ROUND_HALF_UP).number
    same = sentences.the_same_as(f"{number:f} {given}", f"{rounded:f} {own}")
    raise ChecklistInvalid(sentences.type_in_unit(str(about.unit)), same)


def _check_possible(digits: str, number: Decimal, about: FlightQuantity) -> None:
    name = about.spoken_name
    if about.kind is ValueKind.TRANSPONDER:
        if not re.fullmatch(r"[0-7]{4}", digits):
            raise ChecklistInvalid(sentences.not_possible(name), sentences.TYPE_CODE)
        return
    whole = digits.lstrip("-").partition(".")[0].lstrip("0")
    if about.digits and len(whole) > about.digits:
        hint = sentences.digits_of(about.digits)
        raise ChecklistInvalid(sentences.too_many_digits(name), hint)
    span = possible_span(about)
    if span and not span[0] <= number <= span[1]:
        hint = sentences.between(span[0], span[1], about.unit or "")
        raise ChecklistInvalid(sentences.not_possible(name), hint)


def possible_span(about: FlightQuantity) -> tuple[int, int] | None:
    """Return the least and the greatest number that ``about`` can have, if there are any."""
    if about.kind is None:
        return None
    return _POSSIBLE.get((about.kind, about.unit)) or _POSSIBLE.get((about.kind, None))


def example_of(about: FlightQuantity) -> str:
    """Return what to type for ``about``."""
    if about.kind is ValueKind.TRANSPONDER:
        return sentences.TYPE_CODE
    return sentences.type_number(about.unit or "")


def typed_text(about: FlightQuantity) -> str:
    """Return the present value as a person would type it; empty if nobody gave it."""
    if about.number is None:
        return ""
    number = about.number
    text = f"{number:f}" if about.decimals is None else f"{number:.{about.decimals}f}"
    if about.digits and "." not in text:
        text = text.zfill(about.digits)
    return text
