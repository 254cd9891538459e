"""What may be asked between lists."""

from __future__ import annotations

from enum import Enum


class DeskQuestion(Enum):
    """Questions between lists; all are answered by yes or no."""

    OUT_OF_ORDER = "out-of-order"
    """Lists before it were never completed: run it all the same?"""
    AGAIN = "again"
    """It has been completed: run it once more?"""
    MEANT = "meant"
    """A list of nearly that name was called for: is it this one?"""
    END = "end"
    """End the flight?"""


class DeskChoice(Enum):
    """How such a question was settled."""

    YES = "yes"
    NO = "no"
