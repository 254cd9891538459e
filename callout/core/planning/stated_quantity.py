"""Quantities of the flight as stated in words: "set rotation speed to seven six"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from callout.core.judging.parse_answer import digits_for_words, parse_answer
from callout.core.language.tables import Tables
from callout.core.model.commands import plain_words, without_fillers
from callout.core.model.expectation import Value
from callout.core.model.flight import Flight, FlightQuantity
from callout.core.planning.unit_names import unit_named
from callout.core.sentences import planning as sentences

_FORM = re.compile(r"(?:set )?(.+?) (?:is|to|equals) (.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Given:
    """A quantity and its new value."""

    name: str
    number: Decimal
    unit: str | None = None
    """None: the unit of the flight file, if it has one."""


def find_given(
    words: str, names: Iterable[str], flight: Flight, tables: Tables, fillers: Sequence[str]
) -> Given | None:
    """Return which of the quantities ``names`` the words state, or None; no guessing.

    The form is "NAME is VALUE" or "set NAME to VALUE" and nothing else. Another unit, or another
    number of digits than the quantity has, is not a statement.
    """
    said = " ".join(words.split()).rstrip(" .")
    form = _FORM.fullmatch(_without_fillers(said, fillers))
    if form is None:
        return None
    key = _compared_name(form[1], tables)
    for name in names:
        declared = flight.quantities.get(name)
        if declared and key in (
            _compared_name(declared.spoken_name, tables),
            _compared_name(name, tables),
        ):
            return _stated_value(declared, form[2], tables)
    return None


def told_given(given: Given, flight: Flight) -> str:
    """Return a statement as it is read back: "Rotation speed: 76 kt."."""
    declared = flight.quantities.get(given.name, FlightQuantity(given.name))
    name = declared.spoken_name
    unit = given.unit or declared.unit
    return sentences.stated_number(
        name[:1].upper(), name[1:], given.number, f" {unit}" if unit else ""
    )


def with_given(flight: Flight, given: Iterable[Given]) -> Flight:
    """Return the flight with the quantities stated since it began; later ones win."""
    for one in given:
        flight = flight.with_quantity(one.name, one.number, one.unit)
    return flight


def _stated_value(declared: FlightQuantity, words: str, tables: Tables) -> Given | None:
    parts = parse_answer(words, tables).parts
    value = parts[0] if len(parts) == 1 else None
    if not isinstance(value, Value):
        return None
    own = unit_named(declared.unit, tables)
    units = {None, own, *(unit_named(unit, tables) for unit in declared.other_units)}
    digits = len(re.sub(r"\D", "", digits_for_words(words, tables)))
    if value.unit not in units or (declared.digits and digits != declared.digits):
        return None
    return Given(declared.name, value.number, value.unit if value.unit != own else None)


def _compared_name(name: str, tables: Tables) -> str:
    """Return a name in comparable form: "V one", "v1" and "V1" are equal."""
    spaced = " ".join(plain_words(name.replace("_", " ")))
    return digits_for_words(spaced, tables).replace(" ", "")


def _without_fillers(said: str, fillers: Sequence[str]) -> str:
    words = tuple(said.split())
    bare = tuple(word.casefold().strip(",.") for word in words)
    kept = without_fillers(bare, tuple(fillers))
    start = next((n for n in range(len(bare)) if bare[n : n + len(kept)] == kept), 0)
    return " ".join(words[start : start + len(kept)])
