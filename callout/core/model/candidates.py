"""The phrases a recogniser should listen for at one item."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum

from callout.core.model.expectation import Value


class CandidateRole(Enum):
    """Why a phrase is in the set."""

    ACCEPTED = "accepted"
    WRONG = "wrong"
    CONTRAST = "contrast"
    NEIGHBOUR = "neighbour"
    COMMAND = "command"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One phrase to listen for.

    ``text`` is what is reported when it wins; ``forms`` are ways of saying it (words, no digits);
    ``values`` are the numbers in it, for engines that score written digits.
    """

    text: str
    role: CandidateRole
    forms: tuple[str, ...]
    values: tuple[Value, ...] = ()


@dataclass(frozen=True, slots=True)
class CandidateSet:
    """All phrases for one item."""

    item_id: str
    candidates: tuple[Candidate, ...]
    fuller: Callable[[str], tuple[Candidate, ...]] | None = field(
        default=None, compare=False, repr=False
    )
    """Turns a transcript into more phrases worth telling apart: fuller ways to say the answers,
    which replace the usual ones, and wrong replies close to them. None: there is nothing more to
    tell apart.
    """
