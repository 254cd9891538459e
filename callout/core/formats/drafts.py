"""A list while it is being read in: what could be taken from a text, a table or answers."""

from __future__ import annotations

import re
from collections.abc import Mapping, Set
from dataclasses import dataclass
from itertools import chain, count
from typing import Final

from callout.core.model.checklist import Method, Phase


@dataclass(frozen=True, slots=True)
class DraftItem:
    """One line as found in the source."""

    challenge: str
    responses: tuple[str, ...] = ()
    """Empty: the source gave none."""
    wrong: tuple[str, ...] = ()
    critical: bool = False
    note: str = ""
    caution: str = ""
    panel: str = ""
    who: str = ""
    when: str = ""
    id: str = ""
    """Empty: derived from the challenge."""
    open_questions: tuple[str, ...] = ()
    """Questions that nobody has answered yet; written beside the item as a comment."""
    as_required: bool = False
    """True: the reply may begin with "as required"; the responses are the possible positions."""


@dataclass(frozen=True, slots=True)
class DraftSection:
    """Lines under one heading; the title may be empty."""

    title: str
    items: tuple[DraftItem, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """A whole list as found; empty fields are filled in from the title."""

    title: str
    sections: tuple[DraftSection, ...]
    phase: Phase | None = None
    method: Method | None = None
    completion_call: str = ""
    triggers: tuple[str, ...] = ()

    @property
    def items(self) -> tuple[DraftItem, ...]:
        """Every line in order."""
        return tuple(item for section in self.sections for item in section.items)


_PHASE_WORDS: Final[Mapping[str, Phase]] = {
    "after landing": Phase.AFTER_LANDING,
    "after takeoff": Phase.CLIMB,
    "after start": Phase.AFTER_START,
    "before takeoff": Phase.BEFORE_TAKEOFF,
    "before start": Phase.BEFORE_START,
    "pre start": Phase.BEFORE_START,
    "prestart": Phase.BEFORE_START,
    "before landing": Phase.LANDING,
    "power check": Phase.BEFORE_TAKEOFF,
    "run up": Phase.BEFORE_TAKEOFF,
    "runup": Phase.BEFORE_TAKEOFF,
    "line up": Phase.TAKEOFF,
    "engine fire": Phase.NON_NORMAL,
    "emergency": Phase.NON_NORMAL,
    "failure": Phase.NON_NORMAL,
    "fire": Phase.NON_NORMAL,
    "power up": Phase.POWER_UP,
    "preparation": Phase.POWER_UP,
    "preflight": Phase.PREFLIGHT,
    "takeoff": Phase.TAKEOFF,
    "start": Phase.START,
    "taxi": Phase.TAXI,
    "climb": Phase.CLIMB,
    "cruise": Phase.CRUISE,
    "descent": Phase.DESCENT,
    "approach": Phase.APPROACH,
    "landing": Phase.LANDING,
    "shutdown": Phase.PARKING,
    "parking": Phase.PARKING,
    "securing": Phase.SECURING,
}
"""Words of a title, longest first, with the phase they mean. Common practice."""


def phase_of(title: str) -> Phase:
    """Return the phase of flight that a title means; before start if it names none."""
    plain = re.sub(r"take[ -]?off", "takeoff", title.casefold())
    plain = " ".join(re.sub(r"[^a-z]+", " ", plain).split())
    for words, phase in _PHASE_WORDS.items():
        if re.search(rf"\b{words}\b", plain):
            return phase
    return Phase.BEFORE_START


def is_phase_name(title: str) -> bool:
    """Say whether a title is just the name of a phase of flight."""
    plain = re.sub(r"take[ -]?off", "takeoff", title.casefold())
    return " ".join(re.sub(r"[^a-z]+", " ", plain).split()) in _PHASE_WORDS


def name_from(text: str, used: Set[str] = frozenset()) -> str:
    """Return an id built from the words of ``text`` that is not in ``used``."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")[:50].strip("-")
    plain = plain if plain[:1].isalpha() else f"item-{plain}".strip("-")
    names = chain([plain], (f"{plain}-{n}" for n in count(2)))
    return next(name for name in names if name not in used and name not in _RESERVED)


_RESERVED: Final = frozenset({"on", "off", "yes", "no", "y", "n", "true", "false", "null"})
"""Words that other YAML tools read as another type."""
