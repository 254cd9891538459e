"""Which quantity of the flight a blank on paper stands for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from callout.core.authoring.asides import fact_name
from callout.core.authoring.guesses import Blank

_UNITS: Final[Mapping[str, tuple[str, str]]] = {
    "hpa": ("pressure", "hPa"), "mb": ("pressure", "hPa"), "mbar": ("pressure", "hPa"),
    "inhg": ("pressure", "inHg"), "in hg": ("pressure", "inHg"), "in.hg": ("pressure", "inHg"),
    "mmhg": ("pressure", "mmHg"), "psi": ("pressure", "psi"),
    "kt": ("speed", "kt"), "kts": ("speed", "kt"), "knots": ("speed", "kt"),
    "kias": ("speed", "kt"),
    "mph": ("speed", "mph"), "km/h": ("speed", "km/h"),
    "ft": ("altitude", "ft"), "feet": ("altitude", "ft"),
    "kg": ("mass", "kg"), "kgs": ("mass", "kg"), "lb": ("mass", "lb"), "lbs": ("mass", "lb"),
    "tonnes": ("mass", "t"), "t": ("mass", "t"),
    "l": ("volume", "L"), "ltr": ("volume", "L"), "litres": ("volume", "L"),
    "liters": ("volume", "L"),
    "us gal": ("volume", "gal"), "gal": ("volume", "gal"),
    "usg": ("volume", "gal"), "gallons": ("volume", "gal"),
    "qt": ("volume", "qt"), "qts": ("volume", "qt"), "quarts": ("volume", "qt"),
    "%": ("percent", "percent"), "percent": ("percent", "percent"),
    "\u00b0c": ("temperature", "degC"), "\u00b0f": ("temperature", "degF"),
    "deg c": ("temperature", "degC"), "deg f": ("temperature", "degF"),
    "\u00b0": ("heading", ""), "deg": ("heading", ""),
    "mhz": ("frequency", "MHz"), "khz": ("frequency", "kHz"), "rpm": ("number", "rpm"),
    "fpm": ("number", "fpm"), "ft/min": ("number", "fpm"), "m": ("number", "m"),
    "nm": ("number", "NM"), "volts": ("number", "V"), "v": ("number", "V"), "amps": ("number", "A"),
    "gph": ("number", "gal/h"), "usg/h": ("number", "gal/h"), "gal/h": ("number", "gal/h"),
    "usg/hr": ("number", "gal/h"), "gal/hr": ("number", "gal/h"), "l/h": ("number", "L/h"),
    "l/hr": ("number", "L/h"), "litres/h": ("number", "L/h"), "lph": ("number", "L/h"),
    "kg/h": ("number", "kg/h"), "kg/hr": ("number", "kg/h"), "lb/h": ("number", "lb/h"),
    "lb/hr": ("number", "lb/h"), "pph": ("number", "lb/h"),
    "h": ("number", "h"), "hrs": ("number", "h"), "hours": ("number", "h"),
    "min": ("number", "min"), "units": ("number", "units"), "utc": ("time", ""), "z": ("time", ""),
}  # fmt: skip
"""Units as cards print them (ICAO Annex 5 and common practice) -> kind of number, unit."""
_UNIT: Final = re.compile(
    r"^\s*("
    + "|".join(sorted(map(re.escape, _UNITS), key=len, reverse=True))
    + r")(?![A-Za-z0-9])\.?",
    re.IGNORECASE,
)
_AMPERES: Final = re.compile(r"^\s*(A)(?=\s*(?:$|[,/]))")
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


_SHORT_UNITS: Final = frozenset({"l", "t", "v", "z", "h", "min", "deg", "units", "m", "%"})
"""Units that, alone, may be a position instead: "L", "MIN"."""


def is_measured(text: str) -> bool:
    """Say whether a response is a unit without a number: its blank was not recognised."""
    found = _UNIT.match(text)
    if found is None or re.search(r"\d", text):
        return False
    after = text[found.end() :]
    if found[1].casefold() in _SHORT_UNITS:
        return after.strip(" .,/").casefold() in ("set", "checked", "confirmed")
    return not after.strip() or not after[0].isalnum()


def _unit_ahead(before: str) -> str:
    """Return the unit that precedes a value, "kg ____"; empty if other words do."""
    found = _UNIT.fullmatch(before)
    return found[1] if found and found[1].casefold() not in _SHORT_UNITS else ""


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
        _UNITS.get(unit_words.casefold(), ("number", unit_words)) if unit_words else ("", "")
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
