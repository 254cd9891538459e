"""Conditions and expressions of lists and flights: generated, damaged, parsed and evaluated."""

from __future__ import annotations

import random
from decimal import Decimal
from pathlib import Path
from typing import Final

from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.bench.hostile.damage import damaged_text, spliced_texts
from callout.core.formats.flight_schema import flight_from
from callout.core.model.conditions import (
    ConditionInvalid,
    both_conditions,
    condition_applies,
    parse_condition,
)
from callout.core.planning.quantities import comparison_holds, computed_amount
from callout.core.planning.templates import TemplateInvalid, slots_of
from callout.errors import CalloutError

FLIGHT: Final = """\
callout: 1
quantities:
  qnh: 1013 hPa
  fuel_left: 1200 kg
  fuel_right: {value: 1150 kg}
  v1: 117 kt
  fuel: fuel_left + fuel_right
facts: {night: no, icing: yes, turnaround: unknown}
"""
_NAMES: Final = ("night", "icing", "turnaround", "passengers_boarding_with_fuelling", "x", "_", "é")
_NUMBERS: Final = ("qnh", "fuel_left", "fuel_right", "v1", "fuel", "x", "0", "1", "2.5", "9" * 60)
_SIGNS: Final = ("+", "-", "*", "/", "<", "<=", "==", "!=", "%", "**", "//", " if ", " and ")
_CALLS: Final = ("min", "max", "abs", "round", "floor", "ceil", "to", "quantity", "eval", "open")
_REPEATED: Final = ("not ", "(", "a ", "- ", "1+", "abs(", "a,", "'", "{", "((a) or ", "1<", "9")


class Conditions:
    """Half conditions (`when:`), half expressions in braces."""

    suffix = ".txt"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._tables = default_tables()
        self._flight = flight_from(parse_yaml(FLIGHT, "flight.yaml"), "flight.yaml")
        self.take(b"{to(fuel_left + fuel_right, 'lb')}")  # units are read before the clock runs

    def make(self, rng: random.Random) -> bytes:
        """Return one of them: generated, generated and damaged, or with a part repeated many
        times.
        """
        build = rng.choice((random_condition, random_expression))
        text = build(rng, rng.randint(0, 6))
        match rng.randrange(4):
            case 0:
                text = damaged_text(rng, text)
            case 1:
                text = spliced_texts(rng, (text, build(rng, 3)))
            case 2 if rng.random() < 0.5:
                part = rng.choice(_REPEATED)
                text = part * rng.choice((1, 30, 190 // len(part), 20_000)) + text
        return (f"{{{text}}}" if build is random_expression else text).encode("utf-8", "replace")

    def take(self, data: bytes) -> str:
        """Parse it, and evaluate it if possible."""
        text = data.decode("utf-8")
        try:
            self._worked_out(text) if text.startswith("{") else self._asked(text)
        except (ConditionInvalid, TemplateInvalid, CalloutError):
            return "refused"
        return "taken"

    def _asked(self, text: str) -> None:
        found = parse_condition(text)
        assert condition_applies(found, self._flight) in (True, False, None)
        assert parse_condition(found.text) == found, "it reads otherwise the second time"
        condition_applies(both_conditions(found, found), self._flight)

    def _worked_out(self, text: str) -> None:
        for slot in slots_of(text):
            if slot.literal is None:
                number, _ = computed_amount(slot.source, self._flight, self._tables)
                assert isinstance(number, Decimal)
                assert number.is_finite(), "it is no number"
                comparison_holds(f"{slot.source} < 1", self._flight, self._tables)


def random_condition(rng: random.Random, depth: int) -> str:
    """Return names joined by and, or, not and brackets."""
    if not depth:
        return rng.choice(_NAMES)
    inner = random_condition(rng, depth - 1)
    match rng.randrange(4):
        case 0:
            return f"not {inner}"
        case 1:
            return f"({inner})"
        case 2:
            return f"{inner} and {random_condition(rng, depth // 2)}"
    return f"{inner} or {random_condition(rng, depth // 2)}"


def random_expression(rng: random.Random, depth: int) -> str:
    """Return a sum over quantities."""
    if not depth:
        return rng.choice(_NUMBERS)
    inner = random_expression(rng, depth - 1)
    match rng.randrange(5):
        case 0:
            return f"-{inner}"
        case 1:
            return f"({inner})"
        case 2:
            return f"{rng.choice(_CALLS)}({inner}, {random_expression(rng, depth // 2)})"
        case 3:
            unit = rng.choice(("'kg'", "'lb'", "'hPa'", "'inHg'", "'nonsense'", "kg"))
            return f"{rng.choice(('to', 'quantity'))}({inner}, {unit})"
    return f"{inner} {rng.choice(_SIGNS)} {random_expression(rng, depth // 2)}"
