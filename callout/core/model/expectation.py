"""What an item expects to hear: the judge's and the recogniser's common input.

An expectation holds no conditions, expressions or references: they are resolved from the checklist
and the flight's data before an item is challenged.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum


class ValueKind(Enum):
    """How a number is spoken and compared."""

    NUMBER = "number"
    PRESSURE = "pressure"
    HEADING = "heading"
    ALTITUDE = "altitude"
    FLIGHT_LEVEL = "flight-level"
    FREQUENCY = "frequency"
    TRANSPONDER = "transponder"
    SPEED = "speed"
    MASS = "mass"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    PERCENT = "percent"
    TIME = "time"
    RUNWAY = "runway"


@dataclass(frozen=True, slots=True)
class Words:
    """A run of words that must be said (after normalisation)."""

    text: str


@dataclass(frozen=True, slots=True)
class Value:
    """A number that must be said."""

    number: Decimal
    unit: str | None = None
    """Canonical short unit (``hPa``, ``inHg``, ``kt``, ``ft``, ``kg``, ``lb``, ``L``, ``percent``,
    ``degC`` ...) or None for a bare number."""
    tolerance: Decimal = Decimal(0)
    """Largest accepted absolute difference, in ``unit``."""
    kind: ValueKind = ValueKind.NUMBER
    digits: int | None = None
    """How many digits must be spoken, leading zeros included (3 for a heading); None = free."""
    decimals: int | None = None
    """Digits after the decimal point as shown to a person; None = as written."""
    unit_required: bool = False
    """True when the unit itself must be spoken."""
    other_units: tuple[str, ...] = ()
    """Other accepted units; the value is converted and compared with the rounding usual in the
    trade.
    """
    name: str = ""
    """The quantity's name, for reasons ("pressure setting")."""


Part = Words | Value


@dataclass(frozen=True, slots=True)
class Answer:
    """One full reply: words and values in the order they are said."""

    parts: tuple[Part, ...]
    text: str
    """As written in the list with values filled in, for people ("flaps 5")."""


@dataclass(frozen=True, slots=True)
class WrongReply:
    """A reply known to be wrong, and what to tell the person about it."""

    answer: Answer
    because: str = ""


@dataclass(frozen=True, slots=True)
class Expectation:
    """Everything the judge needs to know about one item."""

    accepted: tuple[Answer, ...]
    wrong: tuple[WrongReply, ...] = ()
    challenge: str = ""
    """The challenge as spoken; its words may be echoed before the reply ("beacon on")."""
    actual_status: bool = False
    """True: a bare "checked", "set" or "as required" is not enough unless accepted word for word
    in a list that does not ask for the real status."""
    as_required_with_status: bool = False
    """True: "as required" may lead, with the actual state said after it."""
    previous: tuple[Answer, ...] = ()
    """Accepted answers of the previous item; hearing one here means the place was lost."""
    following: tuple[Answer, ...] = ()
    """Accepted answers of the next item."""
    contrasts: tuple[tuple[str, ...], ...] = ()
    """Extra sets of mutually exclusive words from the checklist."""
    synonyms: Mapping[str, str] = field(default_factory=dict)
    """Extra synonyms from the checklist: as said -> as listed."""


def phrase(text: str) -> Answer:
    """Return an answer that is just ``text``, without a value."""
    return Answer(parts=(Words(text),), text=text)
