"""What the columns of a printed table are called, and what they hold."""

from __future__ import annotations

import re
from typing import Final

_OTHERS: Final = (
    ("section", re.compile(r"(?:flight )?phases?(?: of flight)?|stage|area|zone|part|place|when")),
    ("note", re.compile(
        r"limits?|limitations?|remarks?|notes?|comments?|reasons?|why|verify|verified by|observe"
        r"|remember|result|tolerance|if not|hints?|how|details|keys?|key bindings?|shortcuts?|ref"
    )),
    ("unit", re.compile(r"units?|dim(?:ension)?|measured in")),
    ("min", re.compile(r"min(?:imum)?|at least|not below|lower limit|lowest|from")),
    ("max", re.compile(r"max(?:imum)?|at most|not above|upper limit|highest|to")),
    ("side", re.compile(
        r"left(?: hand| wing| tank| engine| side| main)?|right(?: hand| wing| tank| engine| side"
        r"| main)?|centre(?: tank)?|nose(?: wheel)?|front|rear|forward|aft|main|aux|tail"
        r"|(?:engine|eng|tank|system|side|channel|radio|box) [ab]|port|starboard"
    )),
    ("challenge", re.compile(
        r"(?:items?|points?|things?) to check|check items?|checks|items|controls|challenges"
        r"|parameters?|tasks?|points?|to check|check ?point|what to check|part to check"
    )),
    ("response", re.compile(
        r"(?:required|expected|desired|correct|target|needed)"
        r" (?:state|position|setting|status|reply|response|action|value|condition|reading|range)"
        r"|(?:state|position|setting|action|condition|value) (?:required|expected|wanted)"
        r"|set to|required|expected|do|setting or reading|values?|targets?|requirements?"
        r"|(?:must|should|shall|has to|to) be|(?:how|what) it (?:should|must) be|as it should be"
        r"|(?:green|acceptable|permitted) range|pilots? (?:says|replies|answers)"
    )),
)  # fmt: skip
"""What else the columns of a printed table are called. Common practice, from memory."""
_LOOSE: Final = (
    ("challenge", re.compile(
        r"gauges?|instruments?|components?|equipment|subject|description|object|indication|names?"
        r"|lamp|light|switch(?:es)?|levers?|areas?"
    )),
    ("response", re.compile(
        r"(?:normal|set|right|proper) (?:state|position|setting|reply|response|value|condition"
        r"|reading|range)"
        r"|readings?|responses|replies|answers|actions|positions|settings|wanted|normal|standard"
        r"|configuration|criteri(?:on|a)|conditions?|check for|look for|meaning|ok if|limits?|range"
    )),
    ("note", re.compile(r"reference|source|see|explanation|tips?|purpose")),
)  # fmt: skip
"""Names that are also challenges and responses: only the place of a row says that it heads."""
_SPEAKS: Final = {
    "calls": "challenge", "asks": "challenge", "reads": "challenge", "says": "response",
    "answers": "response", "replies": "response", "responds": "response",
}  # fmt: skip
"""What somebody does over the column with their words: "Pilot calls", "Medic answers"."""
_PENCIL: Final = re.compile(
    r"done|tick(?: off)?|ok|okay|\u2713|\u2714|check(?:ed)?|init(?:ial)?s?\.?"
    r"|sign(?:ed|ature)?|times?|date"
    r"|(?:flight|flt|day|leg|sortie|run|trip) ?\.?\d|1st|2nd|3rd|\dth|first|second|third|seen"
    r"|y/n|yes/no|yes|no|pass|fail|found|by hand|am|pm check|mon|tue|wed|thu|fri|sat|sun|name"
    r"|\u2610|\u25a1|x",
    re.IGNORECASE,
)
"""The heading of a column in which a pencil goes."""


def printed_column(heading: str, *, loose: bool = False) -> str:
    """Return what a printed column with that heading holds; empty if the heading is unknown.

    ``loose``: it is known to be a heading, so words count that a response can be too.
    """
    plain = " ".join(re.sub(r"[^a-z ]+", " ", heading.casefold()).split())
    told = {"note": plain.rpartition(" ")[2]}
    patterns = (*_OTHERS, *_LOOSE) if loose else _OTHERS
    last = told["note"] if loose else ""
    if last in _SPEAKS:
        return _SPEAKS[last]
    named = (name for name, pattern in patterns if pattern.fullmatch(told.get(name, plain)))
    pencil = "done" if _PENCIL.fullmatch(heading.strip()) else ""
    return next(named, pencil)
