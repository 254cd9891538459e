"""Changes single values of a flight file; comments, order and everything else stay as written.

A changed text is returned only if it reads as the same flight but for that one value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import Enum
from typing import Any, Final

import yaml

from callout.app.shared.located_yaml import LocatedLoader, parse_yaml
from callout.core.authoring.flight_lines import flight_text, with_lines
from callout.core.formats.draft_yaml import quoted_yaml
from callout.core.formats.flight_schema import flight_from
from callout.core.model.flight import Flight, FlightQuantity, SetUpFact
from callout.core.planning.typed_value import Typed
from callout.errors import ChecklistInvalid


class Part(Enum):
    """A part of a flight file, by its key there."""

    NUMBERS = "quantities"
    FACTS = "facts"
    WORDS = "words"


NOTHING_GIVEN: Final = "{kind: number}"
_KEY: Final = {Part.NUMBERS: "value", Part.FACTS: "is", Part.WORDS: "text"}


@dataclass(frozen=True, slots=True)
class Change:
    """A value to change. to: a number (None: no longer known), a fact (None: unknown) or a word."""

    part: Part
    name: str
    to: Typed | bool | str | None


def changed_text(text: str, file: str, title: str, changes: Sequence[Change]) -> str | None:
    """Return the flight file with ``changes``; None if one has no obvious place in it.

    text: the file as it is; empty if there is none. Raises ChecklistInvalid if it cannot be read.
    """
    for change in changes:
        line = f"  {change.name}: {_written(change)}"
        made = _spliced(text, change) if text else flight_text(title, {change.part.value: [line]})
        if made is None or not _is_only(change, text, made, file):
            return None
        text = made
    return text


def _written(change: Change) -> str:
    if change.part is Part.FACTS:
        return "unknown" if change.to is None else "yes" if change.to else "no"
    if isinstance(change.to, Typed):
        return quoted_yaml(change.to.text)
    return quoted_yaml(change.to) if isinstance(change.to, str) else NOTHING_GIVEN


def _spliced(text: str, change: Change) -> str | None:
    top = yaml.compose(text, Loader=LocatedLoader)
    part = _entry(top, change.part.value)
    entry = _entry(part[1], change.name) if part else None
    if entry is None:
        return with_lines(text, {change.part.value: [f"  {change.name}: {_written(change)}"]})
    node, written = entry[1], _written(change)
    if isinstance(node, yaml.ScalarNode):
        if change.to is None and change.part is Part.NUMBERS:
            written = _without_number(node.value)
        return _put(text, node, written)
    if not isinstance(node, yaml.MappingNode):
        return None
    inner = _entry(node, _KEY[change.part])
    if change.to is None and change.part is Part.NUMBERS:
        return _cut(text, node) if inner else text
    if inner:
        return _put(text, inner[1], written)
    return _inserted(text, node, f"{_KEY[change.part]}: {written}")


def _without_number(value: str) -> str:
    """Return what stays of "1900 kg" without its number: the unit, which replies still need."""
    unit = _unit_in(value)
    return f"{{unit: {quoted_yaml(unit)}}}" if unit else NOTHING_GIVEN


def _unit_in(value: str) -> str:
    return value.strip().lstrip("+-0123456789.").strip()


def _entry(node: Any, name: str) -> tuple[Any, Any] | None:
    if not isinstance(node, yaml.MappingNode):
        return None
    return next(((key, value) for key, value in node.value if key.value == name), None)


def _at(text: str, mark: Any) -> int:
    lines = text.split("\n")
    return sum(len(line) + 1 for line in lines[: mark.line]) + int(mark.column)


def _put(text: str, node: Any, written: str) -> str | None:
    if not isinstance(node, yaml.ScalarNode) or node.style in ("|", ">"):
        return None
    start, end = _at(text, node.start_mark), _at(text, node.end_mark)
    gap = " " if start == end and not text[:start].endswith(" ") else ""
    return text[:start] + gap + written + text[end:]


def _inserted(text: str, node: Any, pair: str) -> str:
    start = _at(text, node.start_mark)
    if node.flow_style:
        comma = ", " if node.value else ""
        return f"{text[: start + 1]}{pair}{comma}{text[start + 1 :]}"
    return f"{text[:start]}{pair}\n{' ' * node.start_mark.column}{text[start:]}"


def _cut(text: str, node: Any) -> str:
    """Remove the value of a number; what else is said about it stays."""
    keys = [key.value for key, _ in node.value]
    at = keys.index("value")
    key, value = node.value[at]
    start, end = _at(text, key.start_mark), _at(text, value.end_mark)
    unit = "" if "unit" in keys else _unit_in(value.value)
    if unit or len(keys) == 1:
        left = f"unit: {quoted_yaml(unit)}" if unit else "kind: number"
        return text[:start] + left + text[end:]
    if at + 1 < len(keys):
        return text[:start] + text[_at(text, node.value[at + 1][0].start_mark) :]
    return text[: _at(text, node.value[at - 1][1].end_mark)] + text[end:]


def _is_only(change: Change, before: str, after: str, file: str) -> bool:
    """Say whether two texts are the same flight but for one value."""
    try:
        new = flight_from(parse_yaml(after, file), file)
    except ChecklistInvalid:
        return False
    old = flight_from(parse_yaml(before, file), file) if before else replace(new, **_EMPTY)
    return _holds(change, new) and _plain(_without(old, change)) == _plain(_without(new, change))


_EMPTY: Final[dict[str, Any]] = {"quantities": {}, "set_up": {}, "words": {}}


def _holds(change: Change, flight: Flight) -> bool:
    if change.part is Part.FACTS:
        return flight.facts.get(change.name) is change.to
    if change.part is Part.WORDS:
        return flight.words.get(change.name) == change.to
    found = flight.quantities.get(change.name)
    if found is None or found.expression:
        return False
    if isinstance(change.to, Typed):
        return found.number == change.to.number and found.unit == change.to.unit
    return found.number is None


def _without(flight: Flight, change: Change) -> Flight:
    """Return the flight with everything else that is said about the changed value."""
    numbers, facts = dict(flight.quantities), dict(flight.set_up)
    words = {name: word for name, word in flight.words.items() if name != change.name}
    if change.part is Part.NUMBERS:
        known = numbers.pop(change.name, None) or FlightQuantity(change.name)
        about = replace(known, number=None, expression="", unit=None, kind=None)
        numbers[change.name] = replace(about, digits=None, decimals=None)
    elif change.part is Part.FACTS:
        facts[change.name] = replace(facts.get(change.name, SetUpFact(change.name)), state=None)
    kept = words if change.part is Part.WORDS else flight.words
    return replace(flight, quantities=numbers, set_up=facts, words=kept)


def _plain(value: Any) -> Any:
    """Return a value for comparing: without the lines it was written on."""
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(
            (f.name, _plain(getattr(value, f.name))) for f in fields(value) if f.name != "origin"
        )
    if isinstance(value, dict):
        return sorted((str(key), repr(_plain(one))) for key, one in value.items())
    if isinstance(value, list | tuple):
        return tuple(_plain(one) for one in value)
    return value
