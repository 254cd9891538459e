"""How likely two texts are a challenge and its response, by their words alone."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from callout.core.authoring.responses import AS_REQUIRED
from callout.core.formats.drafts import is_phase_name

_STATES: Final = frozenset(re.findall(r"\S+", """
on off in out up down open closed shut set full empty free clear idle rich lean cold hot hi high
low medium left right both all none one two three centre center neutral forward aft fwd back fine
coarse auto automatic manual man norm normal standby stby sby armed arm disarmed disengaged
engaged active inactive alive dead green red amber blue white black yellow lit dim bright
extinguished locked unlocked lock latched fastened tight secure secured stowed removed fitted
installed aboard available checked check chk chkd cross crosschecked xchecked verified confirmed
confirm compared identified ident tested test tuned complete completed done finished reviewed
briefed discussed received obtained noted recorded copied announced advised informed called
requested entered loaded inserted displayed selected programmed updated adjusted aligned correct
good ok okay sufficient adequate serviceable steady stable stabilised stabilized rising falling
running stopped charging charged discharged positive zero nil max maximum min minimum required
reqd rqd rqrd desired necessary needed appropriate cutoff cut retarded advanced extended retracted
released applied pulled pushed pressed guarded covered uncovered inflated dry wet takeoff t/o
to/ga toga ta ra ta/ra alt alti aux cross-feed crossfeed feed continuous cont ign start stop run
runup r l fuller fullest either isolated connected disconnected plugged chocked deflated intact
undamaged clean ice-free level trimmed sense within above below before after at least more less
than kept held set. rto autobrake gpu apu ext int emergency emer safe safety visible visual
observed sighted shown legible current valid here there yes no not and or to per as the for by of
with if is are be
"""))  # fmt: skip
"""States, positions and things done, as cards have them. Common practice, from memory."""
_JOINING: Final = frozenset({
    "and", "or", "to", "per", "as", "the", "for", "by", "of", "with", "if", "is", "are", "be", "at",
    "not",
})  # fmt: skip
_DONE: Final = re.compile(r"[a-z]{2,}(?<!e)(?<!g)(?:ed|en)")
_VALUE: Final = re.compile(
    r"_{2,}|[+-]?\d[\d.,:/\u00b0%'-]*[a-z]{0,3}%?|\u00bd|\u00bc|\u00be|v[1-9r]|n[12]|x{2,4}"
)
_UNITS: Final = frozenset(re.findall(r"\S+", """
hpa inhg mb psi kt kts knots mph ft feet m km nm fpm kg kgs lb lbs t l ltr litres gal gallons usg qt
percent degc degf deg degrees mhz khz v volts a amps rpm h min mins minutes s sec secs seconds c f
kias qnh qfe qne std ias sec's turns turn inches in units
"""))  # fmt: skip
_WORD: Final = re.compile(r"_{2,}|[^\s,;&()/]+")


@lru_cache(maxsize=8192)
def response_likeness(text: str) -> float:
    """Return 0 to 1: how much of ``text`` is a state, a thing done or a value."""
    if AS_REQUIRED.search(text):
        rest = AS_REQUIRED.sub(" ", text).strip(" ,;/&+()")
        return (2.0 + response_likeness(rest)) / 3 if rest else 1.0
    words = [w for w in (_bare(w) for w in _WORD.findall(text)) if w]
    told = [w for w in words if w not in _JOINING]
    if not told:  # "in" and "on" are states too, if nothing else is said
        return float(len(words) == 1 and words[0] != "to")
    return sum(map(_state_likeness, told)) / len(told) * (1.0 if len(words) < 8 else 0.5)


@lru_cache(maxsize=8192)
def challenge_likeness(text: str) -> float:
    """Return 0 to 1: whether ``text`` names a thing, in a few words."""
    words = [w for w in (_bare(w) for w in _WORD.findall(text)) if w]
    named = [w for w in words if re.search(r"[a-z]{2}", w) and _state_likeness(w) < 0.9]
    if not named:
        return 0.25 if any(re.search(r"[a-z]{2}", w) for w in words) else 0.0
    last = 0.8 if words and _state_likeness(words[-1]) >= 1.0 and len(words) > 1 else 1.0
    return last * (1.0 if len(words) <= 8 else 0.4)


def _bare(word: str) -> str:
    return word.strip(".:!?\"'\u2018\u2019\u201c\u201d[]<>{}*-\u2013\u2014=").casefold() or (
        "____" if word.startswith("__") else ""
    )


@lru_cache(maxsize=8192)
def _state_likeness(word: str) -> float:
    if word in _STATES or word in _UNITS or _VALUE.fullmatch(word):
        return 1.0
    if _DONE.fullmatch(word):
        return 0.9
    parts = word.split("-")
    if len(parts) > 1 and all(part in _STATES or _DONE.fullmatch(part) for part in parts):
        return 1.0
    return 0.0


_INNER: Final = re.compile(r"\w\s[\u2013\u2014-]\s[^\W\d]")
"""A mark that divides what is taken for a response: it is an item by itself."""


def pair_likeness(challenge: str, response: str) -> float:
    """Return -1 to 1: how likely the two are an item; the other way round counts against it."""
    if not re.search(r"[^\W\d_]", challenge):
        return -1.0
    several = " " in response.strip() or is_phase_name(challenge)
    phase = several and is_phase_name(response)  # a merged cell, or headings side by side
    there = 0.0 if phase or not response else response_likeness(response)
    named = challenge_likeness(challenge)
    if not response:
        return -0.3
    marked = 0.15 if response.isupper() and not challenge.isupper() else 0.0
    stray = 0.1 if re.search(r"^[^\w\s(+<>\u2264\u2265~-]|[<({\[]$", response) else 0.0
    stray += 0.9 if _INNER.search(response) else 0.0
    other = response_likeness(challenge) * challenge_likeness(response)
    return min(1.0, 0.3 + 0.7 * there + marked) * named - 0.8 * other - stray
