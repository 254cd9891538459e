"""Whole pages set by a layout drawn at random: tables with heads, forms, several columns, notes.

Each function sets all items of a page on a sheet and returns what a person reads of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final, Protocol

from callout.bench.cards.lines import Truth
from callout.core.paper.page import Box

Pairs = Sequence[tuple[str, str]]
_WHAT: Final = ("Item", "Check", "Control", "What", "Task", "Point", "Challenge", "To check")
_HOW: Final = ("State", "Position", "Response", "Required", "Must be", "Target", "Setting", "How")
_WHY: Final = ("Remarks", "Why", "Notes", "Hint")
_NOTES: Final = ("see the book", "not in rain", "ask first", "", "", "")
_CREW: Final = (("PF", "PM"), ("Capt", "F/O"), ("LHS", "RHS"))
_SEATS: Final = {
    "PF": "pilot-flying", "PM": "pilot-monitoring", "Capt": "left-seat", "F/O": "right-seat",
    "LHS": "left-seat", "RHS": "right-seat",
}  # fmt: skip
_LIMITS: Final = (
    "Oil pressure|2|5|bar;Oil temperature|50|110|\u00b0C;Fuel pressure|18|35|psi;Voltage|13|15|V;"
    "Idle speed|600|800|rpm;Suction|4.5|5.5|inHg;Manifold|20|25|inHg;Tyre pressure|28|32|psi;"
    "Rotor speed|95|104|%;Fuel flow|10|14|GPH"
)
_CAPTIONS: Final = (
    "QNH|hPa;Runway|;Wind|kt;Fuel|kg;Take-off mass|kg;V1|kt;VR|kt;V2|kt;Torque|%;OAT|\u00b0C;"
    "Squawk|;Minimum|ft;Cloud base|ft;Trim|units"
)


class Setting(Protocol):
    """What a layout needs of a page in the making."""

    left: float
    y: float

    def put(self, x: float, text: str, size: float = 1.0, *, bold: bool = False) -> float: ...
    def down(self, lines: float = 1.0) -> None: ...
    def rule(self, box: Box) -> None: ...
    def pick(self, choices: Sequence[str]) -> str: ...
    def length(self, text: str) -> float: ...


Layout = Callable[[Setting, Pairs], list[Truth]]


def truth_of_pair(challenge: str, response: str, who: str = "") -> Truth:
    """Return what a person reads of two parts; the unit of a value is not part of its reply."""
    bare = response
    for unit in (" hPa", " kg", " L", " ft", " bar"):
        bare = bare.removesuffix(unit) if "_" in bare else bare
    return Truth(challenge, (bare.replace("____", "{}"),), who=who)


def _columns(s: Setting, *lefts_and_texts: tuple[float, str], bold: bool = False) -> None:
    for left, text in lefts_and_texts:
        if text:
            s.put(s.left + left, text, bold=bold)


def _headed(s: Setting, pairs: Pairs) -> list[Truth]:
    why, counted = s.pick(("yes", "no")) == "yes", s.pick(("yes", "no")) == "yes"
    shift = 30.0 if counted else 0.0
    heads = [(shift, s.pick(_WHAT)), (shift + 170, s.pick(_HOW))]
    heads += [(0.0, s.pick(("#", "No", "Nr")))] if counted else []
    heads += [(shift + 340, s.pick(_WHY))] if why else []
    _columns(s, *sorted(heads), bold=True)
    s.down()
    for number, (challenge, response) in enumerate(pairs, 1):
        count = [(0.0, str(number))] if counted else []
        note = [(shift + 340, s.pick(_NOTES))] if why else []
        _columns(s, *count, (shift, challenge), (shift + 170, response), *note)
        s.down()
    return [truth_of_pair(*pair) for pair in pairs]


def _crewed(s: Setting, pairs: Pairs) -> list[Truth]:
    first, second = _CREW[int(s.pick("012"))]
    _columns(s, (0, s.pick(_WHAT)), (170, first), (320, second), bold=True)
    s.down()
    truths = []
    for challenge, response in pairs:
        who = s.pick((first, second))
        _columns(s, (0, challenge), (170 if who == first else 320, response))
        s.down()
        truths.append(truth_of_pair(challenge, response, _SEATS[who]))
    return truths


def _limits(s: Setting, pairs: Pairs) -> list[Truth]:
    _columns(s, (0, "Parameter"), (170, "Min"), (230, "Max"), (290, "Unit"), bold=True)
    s.down()
    truths = []
    for line in _LIMITS.split(";"):
        name, least, most, unit = line.split("|")
        _columns(s, (0, name), (170, least), (230, most), (290, unit))
        s.down()
        truths.append(Truth(name, (f"min {least}, max {most} {unit}",)))
    return truths


def _united(s: Setting, pairs: Pairs) -> list[Truth]:
    _columns(s, (0, s.pick(_WHAT)), (170, "Value"), (260, "Unit"), bold=True)
    s.down()
    truths = []
    for at, line in enumerate(_LIMITS.split(";")):
        name, least, _, unit = line.split("|")
        value = "____" if at % 3 == 0 else least
        _columns(s, (0, name), (170, value), (260, unit))
        s.down()
        truths.append(Truth(name, ("{}" if at % 3 == 0 else f"{least} {unit}",)))
    return truths


def _captions(s: Setting, pairs: Pairs) -> list[Truth]:
    truths = []
    wide, high = 120.0, 34.0
    for at, line in enumerate(_CAPTIONS.split(";")[:12]):
        name, unit = line.split("|")
        left, top = s.left + wide * (at % 3), 120.0 + high * (at // 3)
        for x in (left, left + wide):
            s.rule(Box(x, top, x + 1, top + high))
        for y in (top, top + high):
            s.rule(Box(left, y, left + wide, y + 1))
        s.y = top + 3
        s.put(left + 4, name)
        if unit:
            s.y = top + high - 13
            s.put(left + wide - 6 - s.length(unit), unit)
        truths.append(Truth(name, ("{}",)))
    return truths


def _dotted(s: Setting, pairs: Pairs) -> list[Truth]:
    truths = []
    for line in _CAPTIONS.split(";")[:10]:
        name, unit = line.split("|")
        _columns(s, (0, name), (150, f"................ {unit}".strip()))
        s.down()
        truths.append(Truth(name, ("{}",)))
    return truths


def _two_columns(s: Setting, pairs: Pairs) -> list[Truth]:
    half = len(pairs) // 2
    top = s.y
    for at, (challenge, response) in enumerate(pairs):
        if at == half:
            s.y = top
        left = 0.0 if at < half else 260.0
        _columns(s, (left, challenge), (left + 140, response))
        s.down()
    return [truth_of_pair(*pair) for pair in pairs]


def _noted(s: Setting, pairs: Pairs) -> list[Truth]:
    for at, (challenge, response) in enumerate(pairs):
        _columns(s, (0, challenge), (200, response))
        s.down()
        if at % 4 == 2:
            s.put(s.left + 8, "only while the engine is cold and nobody stands near it", 0.8)
            s.down()
    return [truth_of_pair(*pair) for pair in pairs]


def _wrapped(s: Setting, pairs: Pairs) -> list[Truth]:
    truths = []
    for at, (challenge, response) in enumerate(pairs):
        more = at % 3 == 1 and "_" not in response
        _columns(s, (0, challenge), (200, f"{response}, seen from" if more else response))
        if more:
            s.down(0.65)
            s.put(s.left + 200, "both seats")
        s.down(1.1)
        said = f"{response}, seen from both seats" if more else response
        truths.append(truth_of_pair(challenge, said))
    return truths


def _commas(s: Setting, pairs: Pairs) -> list[Truth]:
    for challenge, response in pairs:
        s.put(s.left, f"{challenge}, {response}")
        s.down()
    return [truth_of_pair(*pair) for pair in pairs]


def _named_in_bold(s: Setting, pairs: Pairs) -> list[Truth]:
    for challenge, response in pairs:
        s.put(s.put(s.left, challenge, bold=True) + 3.0, response)
        s.down()
    return [truth_of_pair(*pair) for pair in pairs]


LAYOUTS: Final[Mapping[str, Layout]] = {
    "a table with heads": _headed,
    "crew members over columns": _crewed,
    "limits in columns": _limits,
    "a unit in its own column": _united,
    "captions in cells": _captions,
    "dots to write on": _dotted,
    "two columns on a page": _two_columns,
    "notes between lines": _noted,
    "responses that wrap": _wrapped,
    "a comma": _commas,
    "the name in bold": _named_in_bold,
}
