"""One line of a state stream, version 1, parsed from JSON text; nothing is taken on trust.

The published shape is ``data/state.schema.json`` (``callout state schema``).
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any

VERSION = 1
LONGEST = 65_536
"""Maximum length of a line, in characters."""
MOST_VALUES = 500
"""Maximum number of quantities in one message."""
SEQUENCE = 2**32
"""Sequence numbers return to 0 after the number before this one."""
LARGEST = 1e12


class Kind(Enum):
    """What a message is."""

    HELLO = "hello"
    """A bridge starts or restarts."""
    SNAPSHOT = "snapshot"
    """Every quantity that the bridge knows."""
    CHANGE = "change"
    """Only what changed; empty: nothing did."""


class Fault(Enum):
    """Why a line was not read, or not fully read."""

    UNREADABLE = "unreadable"
    """Not a JSON object, or one with a duplicate key."""
    TOO_LONG = "too long"
    SHAPE = "of another shape"
    VERSION = "of another version"
    STRANGER = "from a second bridge"
    ENDED = "of an ended run"
    EARLY = "before the first snapshot"
    DUPLICATE = "there already"
    LATE = "too late"
    UNKNOWN_NAME = "with an unknown name"
    UNFIT_VALUE = "with a value that does not fit"
    UNTRUSTED = "without the right token"
    TOO_MANY = "too many at once"


Value = str | float | bool


@dataclass(frozen=True, slots=True)
class Message:
    """One line as it was sent."""

    kind: Kind
    run: str
    """Id of this run of the bridge, different after each start."""
    seq: int = 0
    """Number of the message within its run, from 0."""
    time: float | None = None
    """The bridge's own clock in seconds; its origin does not matter."""
    age: float = 0.0
    """How long before this message the values were read, in seconds."""
    values: Mapping[str, object] | None = None
    name: str = ""
    token: str = ""


class Refused(ValueError):
    """A line that is not a message; ``fault`` says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.value)
        self.fault = fault


_KEYS = {
    Kind.HELLO: ({"kind", "version", "run"}, {"name", "token"}),
    Kind.SNAPSHOT: ({"kind", "run", "seq", "values"}, {"time", "age"}),
    Kind.CHANGE: ({"kind", "run", "seq", "values"}, {"time", "age"}),
}
"""Keys that a message must have, and keys that it may have."""


def message_in(line: str) -> Message:
    """Return the message in ``line``; raises Refused."""
    if len(line) > LONGEST:
        raise Refused(Fault.TOO_LONG)
    try:
        told = json.loads(line, object_pairs_hook=_once, parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise Refused(Fault.UNREADABLE) from error
    if not isinstance(told, dict):
        raise Refused(Fault.UNREADABLE)
    try:
        kind = Kind(told.get("kind"))
    except ValueError as error:
        raise Refused(Fault.SHAPE) from error
    due, may = _KEYS[kind]
    if not due <= told.keys() or not told.keys() <= due | may:
        raise Refused(Fault.SHAPE)
    return _hello(told) if kind is Kind.HELLO else _update(kind, told)


def _hello(told: Mapping[str, Any]) -> Message:
    version = told["version"]
    if isinstance(version, bool) or not isinstance(version, int):
        raise Refused(Fault.SHAPE)
    if version != VERSION:
        raise Refused(Fault.VERSION)
    name, token = _text(told.get("name", ""), 80), _text(told.get("token", ""), 200)
    return Message(Kind.HELLO, _run(told), name=name, token=token)


def _update(kind: Kind, told: Mapping[str, Any]) -> Message:
    seq, values = told["seq"], told["values"]
    if isinstance(seq, float) and seq.is_integer():  # JSON knows no other kind of number
        seq = int(seq)
    if isinstance(seq, bool) or not isinstance(seq, int) or not 0 <= seq < SEQUENCE:
        raise Refused(Fault.SHAPE)
    if not isinstance(values, dict) or len(values) > MOST_VALUES:
        raise Refused(Fault.SHAPE)
    time = _number(told["time"], -LARGEST) if "time" in told else None
    age = _number(told.get("age", 0), 0.0)
    return Message(kind, _run(told), seq, time, age, values)


def _run(told: Mapping[str, Any]) -> str:
    run = _text(told["run"], 64)
    if not run:
        raise Refused(Fault.SHAPE)
    return run


def _text(value: object, longest: int) -> str:
    if not isinstance(value, str) or len(value) > longest or not value.isprintable():
        raise Refused(Fault.SHAPE)
    return value


def _number(value: object, least: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused(Fault.SHAPE)
    if not _finite(value) or not least <= value <= LARGEST:
        raise Refused(Fault.SHAPE)
    return float(value)


def _finite(value: float) -> bool:
    return isinstance(value, int) or math.isfinite(value)


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key stands there twice")
    return found


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def wire_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of one line."""
    text: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 64}
    value = {"type": ["string", "number", "boolean"]}
    update: dict[str, Any] = {
        "run": {**text, "description": "the run that its hello named"},
        "seq": {"type": "integer", "minimum": 0, "maximum": SEQUENCE - 1},
        "time": {"type": "number", "description": "the bridge's own clock, in seconds"},
        "age": {"type": "number", "minimum": 0, "description": "age of the values, in seconds"},
        "values": {"type": "object", "additionalProperties": value, "maxProperties": MOST_VALUES},
    }
    hello = {
        "version": {"const": VERSION},
        "run": {**text, "description": "another one for each start of the bridge"},
        "name": {"type": "string", "maxLength": 80},
        "token": {"type": "string", "maxLength": 200},
    }
    parts = {Kind.HELLO: hello, Kind.SNAPSHOT: update, Kind.CHANGE: update}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:callout:state:{VERSION}",
        "title": "One line of a callout state stream",
        "oneOf": [
            {
                "type": "object",
                "properties": {"kind": {"const": kind.value}, **keys},
                "required": sorted(_KEYS[kind][0]),
                "additionalProperties": False,
            }
            for kind, keys in parts.items()
        ],
    }
