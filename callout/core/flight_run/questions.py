"""What may be asked between lists."""

from __future__ import annotations

from enum import Enum


class DeskQuestion(Enum):
    """Questions between lists; all are answered by yes or no."""

    OUT_OF_ORDER = "out-of-order"
    """Earlier lists were not completed: run it anyway?"""
    AGAIN = "again"
    """It has been completed: run it again?"""
    MEANT = "meant"
    """A list with a similar name was called for: is it this one?"""
    END = "end"
    """End the flight?"""


class DeskChoice(Enum):
    """How a question was settled."""

    YES = "yes"
    NO = "no"
