"""The elements of a normalised answer."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.model.expectation import Value


@dataclass(frozen=True, slots=True)
class SequenceWord:
    """One word that must be said."""

    text: str
    optional: bool = False
    joint: bool = False
    """True where "and" or a comma precedes it in the list."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number that must be said."""

    value: Value
    optional: bool = False
    joint: bool = False


Element = SequenceWord | Number
Sequence = tuple[Element, ...]
