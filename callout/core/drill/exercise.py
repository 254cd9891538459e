"""One exercise of a drill, as data."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum

from callout.core.drill.entries import ItemKey
from callout.core.drill.evidence import Weakness
from callout.core.model.expectation import Expectation


class Mode(Enum):
    """Kinds of exercise."""

    CHALLENGE = "challenge"
    """The challenge alone, in the order of the list."""
    NEXT_ITEM = "next-item"
    """The item that comes next, from memory."""
    OUT_OF_CONTEXT = "out-of-context"
    """An item by itself, the lists mixed."""
    WRONG_STATE = "wrong-state"
    """A state is stated, right or wrong; which is it, and what should it be?"""


@dataclass(frozen=True, slots=True)
class Exercise:
    """One thing to answer."""

    key: ItemKey
    mode: Mode
    title: str
    """Of the list."""
    prompt: str
    """What stands large on the screen."""
    spoken: str
    expectation: Expectation
    answer: str
    """What is told when it is not known."""
    name: str
    """What the item is called."""
    critical: bool = False
    flight: str = ""
    """The value that the flight has, where the item wants one."""
    then: Expectation | None = None
    """What a bare "wrong" must be followed by: the state that it should be."""
    weakness: Weakness = Weakness.NONE
    new: bool = False
    fallen: tuple[str, ...] = ()
    """Accepted replies that a further reply must follow."""
    risk: float | None = None
    """Chance of a slip as it was foretold; None where nothing was known."""
    why: str = ""
    """Why the item is done."""

    @property
    def given_away(self) -> bool:
        """True where the reason would tell what is asked: the item, or a word of its answer."""
        if self.mode is Mode.NEXT_ITEM:
            return True
        return bool(_words(self.why) & (_words(self.answer) | _words(self.flight)))


def _words(text: str) -> set[str]:
    return set(re.findall(r"[a-z0-9]+", text.casefold()))
