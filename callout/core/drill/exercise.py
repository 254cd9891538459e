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
    """The challenge alone, in list order."""
    NEXT_ITEM = "next-item"
    """The item that comes next, from memory."""
    OUT_OF_CONTEXT = "out-of-context"
    """A single item, with the lists mixed."""
    WRONG_STATE = "wrong-state"
    """A state is stated, right or wrong: which is it, and what should it be?"""


@dataclass(frozen=True, slots=True)
class Exercise:
    """One thing to answer."""

    key: ItemKey
    mode: Mode
    title: str
    """Of the list."""
    prompt: str
    """The headline on the screen."""
    spoken: str
    expectation: Expectation
    answer: str
    """What is revealed when it is not known."""
    name: str
    """What the item is called."""
    critical: bool = False
    flight: str = ""
    """The flight's value, if the item needs one."""
    then: Expectation | None = None
    """The state that must follow a bare "wrong"."""
    weakness: Weakness = Weakness.NONE
    new: bool = False
    fallen: tuple[str, ...] = ()
    """Accepted replies that need a further reply."""
    risk: float | None = None
    """Predicted chance of a slip; None if nothing was known."""
    why: str = ""
    """Why the item is done."""

    @property
    def given_away(self) -> bool:
        """True if the reason would reveal the question: the item, or a word of its answer."""
        if self.mode is Mode.NEXT_ITEM:
            return True
        return bool(_words(self.why) & (_words(self.answer) | _words(self.flight)))


def _words(text: str) -> set[str]:
    return set(re.findall(r"[a-z0-9]+", text.casefold()))
