"""Which quantity of the flight a blank on paper stands for."""

from __future__ import annotations

import re
from typing import Final

from callout.core.authoring.asides import fact_name
from callout.core.authoring.guesses import Blank
from callout.core.formats.printed_units import SHORT, UNITS

_UNIT: Final = re.compile(
    r"^\s*("
    + "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True))
    + r")(?![A-Za-z0-9])\.?",
    re.IGNORECASE,
)
_AMPERES: Final = re.compile(r"^\s*(A)(?=\s*(?:$|[,/(]))")
"""A lone capital after a value; a small one is an article."""
_INCHES: Final = re.compile(r"^\s*(in|inches)(?=\s*(?:$|[,/;]|each\b))", re.IGNORECASE)
"""After a value and before nothing more, "in" is its unit; elsewhere it is a word."""
_COLUMN: Final = re.compile(r"(?i)\b(?:manifold|map|mp|boost|suction|vacuum|pressure)\b")
"""What is measured in inches of mercury, though a card says inches."""
_WORDS: Final[tuple[tuple[str, str], ...]] = (
    (r"q(?:nh|fe)|altimeters?|baro(?:metric)?|alt(?:imeter)? sett?ings?", "pressure"),
    (r"squawk|transponder|xpdr|xpndr", "transponder"),
    (r"head(?:ing)?s?|hdg|course|crs|track|compass|dg|directional gyro", "heading"),
    (r"freq(?:uency|uencies)?|radios?|com ?\d?|nav ?\d|atis|ils", "frequency"),
    (r"speeds?|bugs?|v ?1|v ?r|v ?2|vref|vapp|v-?speeds?|airspeed", "speed"),
    (r"altitude|minim(?:a|ums?)|level-?off|da|mda|dh|transition", "altitude"),
    (r"weight|mass|zfw|tow|gw", "mass"), (r"temp(?:erature)?|oat|itt|egt", "temperature"),
    (r"runway|rwy", "runway"), (r"time|off ?block|eta|etd", "time"),
    (r"fuel|quantity|qty|oil|trim|flaps?|torque|n1|n2|epr|thrust|power|rpm|load|pax|passengers"
     r"|persons|souls|reserve|pressure|cg", "number"),
)  # fmt: skip
"""Words of a challenge that ask for a value, and its kind."""
LABEL: Final = re.compile(
    r"(?:^|[\s,;/])(left|right|l|r|total|main|aux|v ?1|v ?r|v ?2|vref|qnh|qfe|standby"
    r"|no\.? ?\d|#\d|com ?\d|nav ?\d|n ?1|n ?2)\s*+(?::\s*+)?$",
    re.IGNORECASE,
)
SIDES: Final = {"l": "left", "r": "right"}


def kind_of_words(text: str) -> str:
    """Return the kind of value that words ask for; empty if they ask for none."""
    plain = " ".join(text.casefold().split())
    for words, kind in _WORDS:
        if re.search(rf"(?<![a-z0-9])(?:{words})(?![a-z])", plain):
            return kind
    return ""


def asks_for_value(challenge: str) -> bool:
    """Say whether the last words of a challenge name something measured."""
    return bool(kind_of_words(" ".join(challenge.split()[-2:])) and not _is_control(challenge))


_CONTROLS: Final = frozenset({
    "pump", "pumps", "selector", "valve", "valves", "cap", "caps", "lever", "switch", "switches",
    "heat", "lights", "light", "cock", "door", "doors",
})  # fmt: skip


def _is_control(challenge: str) -> bool:
    last = re.sub(r"[^a-z]", "", challenge.casefold().split()[-1]) if challenge.split() else ""
    return last in _CONTROLS


_MORE: Final = re.compile(r"\s*(?:[,;]|\((?:min|max|\d|above|below|at least))", re.IGNORECASE)
_BOUNDS: Final = frozenset({"min", "units", "deg", "sec"})


def is_measured(text: str) -> bool:
    """Say whether a response is a unit without a number: its blank was not recognised."""
    found = _UNIT.match(text)
    if found is None:
        return False
    after = text[found.end() :]
    if len(found[1]) > 1 and found[1].casefold() not in _BOUNDS and _MORE.match(after):
        return True  # "psi, 60 to 65", "qt (min 5)"
    if re.search(r"\d", text):
        return False
    if found[1].casefold() in SHORT:
        return after.strip(" .,/").casefold() in ("set", "checked", "confirmed")
    return not after.strip() or not after[0].isalnum()


def _unit_ahead(before: str) -> str:
    """Return the unit that precedes a value, "kg ____"; empty if other words do."""
    found = _UNIT.fullmatch(before)
    return found[1] if found and found[1].casefold() not in SHORT else ""


def without_unit_ahead(before: str) -> str:
    """Return the text before a first value without a unit that belongs to the value."""
    return "" if _unit_ahead(before.strip()) else before


def is_label(name: str) -> bool:
    """Say whether a name tells values of one thing apart, "L" and "R", rather than things."""
    found = LABEL.search(name)
    return found is not None and found[1] == name


def unit_end(after: str) -> int:
    """Return how much of the text after a blank is its unit."""
    unit = _unit_after(after)
    return unit.end() if unit else 0


def _unit_after(after: str) -> re.Match[str] | None:
    return _UNIT.match(after) or _AMPERES.match(after) or _INCHES.match(after)


def blank_of(challenge: str, before: str, after: str, count: int, number: int) -> tuple[Blank, int]:
    """Return the value of blank ``number`` of ``count``, and how much of ``after`` is its unit."""
    unit = _unit_after(after)
    ahead = "" if unit or number else _unit_ahead(before.strip())
    unit_words = unit[1] if unit else ahead
    kind, written = (
        UNITS.get(unit_words.casefold(), ("number", unit_words)) if unit_words else ("", "")
    )
    if unit_words.casefold() in ("in", "inches"):  # no length on a card is so short
        written = "inHg" if _COLUMN.search(challenge) else ""
    label = LABEL.search(before)
    words = challenge
    if label:
        named = label[1].casefold().replace(" ", "")
        own = SIDES.get(named, named)
        words = own if kind_of_words(own) else f"{challenge} {own}"
    elif count > 1:
        words = f"{challenge} {number + 1}"
    kind = kind or kind_of_words(label[1] if label else "") or kind_of_words(challenge)
    spoken = " ".join(words.split())
    spoken = spoken if any(c.isdigit() for c in spoken) else spoken.casefold()
    return Blank(fact_name(spoken), spoken, kind, written), unit.end() if unit else 0
