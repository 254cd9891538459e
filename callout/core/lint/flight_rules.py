"""Rules about the data of a flight: numbers that contradict its tables or each other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from callout.core.language.tables import Tables
from callout.core.language.units import convert_unit
from callout.core.lint.finding import ListFinding, Severity
from callout.core.model.checklist import Origin
from callout.core.model.flight import Comparison, Flight
from callout.core.planning.quantities import (
    ValueMissing,
    comparison_holds,
    computed_amount,
    text_of,
)
from callout.core.sentences import check_findings as sentences
from callout.core.sentences import check_rules
from callout.errors import ChecklistInvalid

_MOST: Final = ("fuller", "fullest", "heavier", "heaviest")
_LEAST: Final = ("emptier", "emptiest", "lighter", "lightest")
"""First words of a named text that say whether it means the least of several quantities."""


@dataclass(frozen=True, slots=True)
class Saying:
    """What a rule reports about a flight."""

    origin: Origin
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class FlightRule:
    """One thing that makes the data of a flight dangerous."""

    id: str
    reason: str
    source: str
    look: Callable[[Flight, Tables], Iterable[Saying]]
    severity: Severity = Severity.WARNING


def against_table(flight: Flight, tables: Tables) -> Iterator[Saying]:
    """A number that differs from what the table gives for this flight."""
    for name, declared in flight.quantities.items():
        table = flight.look_up(name)
        if table is None or declared.number is None:
            continue
        unwritten = replace(declared, number=None, unit=None, tolerance=None)
        looked = replace(flight, quantities={**flight.quantities, name: unwritten})
        try:
            right, unit = computed_amount(name, looked, tables)
            at, of = computed_amount(table.by, flight, tables)
        except ChecklistInvalid:
            continue  # a value that is unknown, or outside the table, is reported by another rule
        given = _same_unit(computed_amount(name, flight, tables), unit)
        if given is None or abs(given - right) > (declared.tolerance or _half_step(right)):
            by = flight.quantities[table.by].spoken_name
            said = f"the {declared.spoken_name} is {declared.number:f} {unit or ''}".rstrip()
            told = sentences.against_table(said, right.normalize(), by, at, of)
            yield Saying(declared.origin, told, sentences.AGAINST_TABLE_HINT)


def _same_unit(amount: tuple[Decimal, str | None], unit: str | None) -> Decimal | None:
    number, own = amount
    return number if own == unit or own is None else convert_unit(number, own, unit or "")


def _half_step(number: Decimal) -> Decimal:
    """Return half of the last place in which a number of this size is spoken."""
    return Decimal("0.05") if number % 1 else Decimal("0.5")


def outside_table(flight: Flight, tables: Tables) -> Iterator[Saying]:
    """A flight that the table does not cover."""
    for table in flight.look_ups:
        name = next(iter(table.units))
        unwritten = {n: replace(flight.quantities[n], number=None) for n in table.units}
        looked = replace(flight, quantities={**flight.quantities, **unwritten})
        try:
            computed_amount(name, looked, tables)
        except ValueMissing:
            continue
        except ChecklistInvalid as error:
            origin = flight.quantities[table.by].origin
            yield Saying(origin, error.message, sentences.OUTSIDE_TABLE_HINT)


def broken_demand(flight: Flight, tables: Tables) -> Iterator[Saying]:
    """Numbers that contradict each other."""
    for demand in flight.demands:
        try:
            met = comparison_holds(demand.text, flight, tables)
        except ValueMissing:
            continue
        except ChecklistInvalid as error:
            if "looked up" not in error.message:
                yield Saying(demand.origin, error.message, error.hint)
            continue
        if not met:
            reason = f" {demand.because}" if demand.because else ""
            yield Saying(
                demand.origin,
                f'"{demand.text}" does not hold.{reason}',
                sentences.BROKEN_DEMAND_HINT,
            )


def wrong_side(flight: Flight, tables: Tables) -> Iterator[Saying]:
    """A fuller tank that is in fact the emptier one."""
    for name, word in flight.words.items():
        first = name.split("_")[0]
        compared = _sides_comparison(flight, most=first in _MOST)
        if first not in (*_MOST, *_LEAST) or compared is None or word not in dict(compared.of):
            continue
        asked = replace(flight, compared={**flight.compared, name: compared})
        try:
            right = text_of(name, asked, tables)
        except ChecklistInvalid:
            continue
        if right != word:
            said = f"the {name.replace('_', ' ')} is given as {word}, but it is {right}."
            of = ", ".join(f"{side}: {quantity}" for side, quantity in compared.of)
            way = "greatest" if compared.most else "least"
            yield Saying(flight.origin, said, f"Write `{name}: {{{way}: {{{of}}}}}`.")


def _sides_comparison(flight: Flight, *, most: bool) -> Comparison | None:
    """Return the comparison of the fuel on both sides, if the flight has one."""
    names = [name for name in flight.quantities if name.startswith("fuel_")]
    sides = [(name.removeprefix("fuel_"), name) for name in names]
    found = tuple(pair for pair in sides if pair[0] in ("left", "right", "front", "rear", "aft"))
    return Comparison(found, most) if len(found) > 1 else None


FLIGHT_RULES: Final = (
    FlightRule(
        "against-table",
        check_rules.WHY_AGAINST_TABLE,
        "common practice: the data are worked out twice from the table and compared",
        against_table,
    ),
    FlightRule(
        "outside-table",
        check_rules.WHY_OUTSIDE_TABLE,
        "14 CFR 91.9: no operation outside the limitations of the flight manual",
        outside_table,
    ),
    FlightRule(
        "broken-demand",
        check_rules.WHY_BROKEN_DEMAND,
        "14 CFR 25.107: the take-off speeds have an order; common practice for other numbers",
        broken_demand,
    ),
    FlightRule(
        "wrong-side",
        check_rules.WHY_WRONG_SIDE,
        "common practice: take off and land on the fuller tank",
        wrong_side,
    ),
)


def lint_flight(flight: Flight, tables: Tables) -> list[ListFinding]:
    """Return what the rules report about the data of a flight, in line order."""
    found = [
        ListFinding(rule.id, rule.severity, s.origin.file, s.origin.line, s.message, s.hint)
        for rule in FLIGHT_RULES
        for s in rule.look(flight, tables)
    ]
    return sorted(found, key=lambda finding: (finding.file, finding.line))
