"""Marks beside challenge and response: who answers, and when an item applies."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from callout.core.authoring.guesses import AskedFact
from callout.core.formats.printed_units import UNITS
from callout.core.model.checklist import Role
from callout.core.sentences import authoring as say

_ROLES: Final[Mapping[str, Role]] = {
    "pf": Role.PILOT_FLYING, "pilot flying": Role.PILOT_FLYING,
    "pm": Role.PILOT_MONITORING, "pnf": Role.PILOT_MONITORING,
    "pilot monitoring": Role.PILOT_MONITORING, "pilot not flying": Role.PILOT_MONITORING,
    "left": Role.LEFT_SEAT, "left seat": Role.LEFT_SEAT, "lhs": Role.LEFT_SEAT,
    "captain": Role.LEFT_SEAT, "capt": Role.LEFT_SEAT, "cpt": Role.LEFT_SEAT, "p1": Role.LEFT_SEAT,
    "lh": Role.LEFT_SEAT, "rh": Role.RIGHT_SEAT, "cm1": Role.LEFT_SEAT, "cm2": Role.RIGHT_SEAT,
    "left pilot": Role.LEFT_SEAT, "right pilot": Role.RIGHT_SEAT, "commander": Role.LEFT_SEAT,
    "pic": Role.LEFT_SEAT, "cdr": Role.LEFT_SEAT, "cop": Role.RIGHT_SEAT,
    "right seat": Role.RIGHT_SEAT, "rhs": Role.RIGHT_SEAT, "first officer": Role.RIGHT_SEAT,
    "f/o": Role.RIGHT_SEAT, "fo": Role.RIGHT_SEAT, "p2": Role.RIGHT_SEAT,
    "copilot": Role.RIGHT_SEAT, "co-pilot": Role.RIGHT_SEAT,
    "both": Role.BOTH, "both pilots": Role.BOTH, "all": Role.BOTH, "pf/pm": Role.BOTH,
    "pf & pm": Role.BOTH, "pf+pm": Role.BOTH, "pf, pm": Role.BOTH, "pf and pm": Role.BOTH,
    "pm/pf": Role.BOTH, "capt/fo": Role.BOTH, "capt & fo": Role.BOTH, "either": Role.EITHER,
}  # fmt: skip
"""Marks for who answers. PF and PM: ICAO Doc 9868; the others are common practice."""
_ONE_OF_TWO: Final = frozenset({
    Role.PILOT_FLYING, Role.PILOT_MONITORING, Role.LEFT_SEAT, Role.RIGHT_SEAT,
})  # fmt: skip
_BARE: Final = frozenset(
    {"pf", "pm", "pnf", "capt", "cpt", "fo", "f/o", "p1", "p2", "pf/pm", "pm/pf"}
)
"""Marks that need no brackets."""
SEATED: Final = frozenset({"captain", "capt", "cpt", "p1", "fo", "f/o", "p2", "first officer"})
"""Ranks: it is a guess that each sits in the usual seat."""
_AMBIGUOUS: Final = frozenset({"lh", "rh", "both", "all", "left", "either"})
"""In brackets, these may describe the control instead: "fuel pumps (both)"."""
_IN_BRACKETS: Final = re.compile(r"[(\[<{]([^()\[\]<>{}]{1,60})[)\]>}]")
_WHEN: Final = re.compile(
    r"^(?:only )?(?:if|when|where|for|at|in|during|unless|as) .+"
    r"|^(?:above|below|over|under|after|before) .+"
    r"|.*\b(?:only|operations?|ops|flights?)$"
    r"|^(?:night|day|ifr|vfr|icing|winter|summer|cold weather|imc|vmc)$"
    r"|^(?:(?:light|moderate|heavy|severe) )?"
    r"(?:frost|slush|snow|rain|ice|cloud|fog|haze|gusts?|turbulence|dust|sand|darkness|dusk)$"
    r"|^(?:glassy|rough|calm|open) (?:water|sea)$"
    r"|^(?:cross|tail|strong |gusty )winds?$"
    r"|^(?:short|long|soft|wet|grass|icy|rough|contaminated|gravel|hard|slippery|unpaved|narrow)"
    r" (?:runway|field|strip|grass|ground|surface)$"
    r"|^first (?:flight|launch|leg|sector)(?: of the day)?$"
    r"|^(?:optional|(?:cold|hot|warm) (?:engine|start|day|soak|starts?))$",
    re.IGNORECASE,
)
_KNOWN: Final[Mapping[str, str]] = {
    "night": "night", "at night": "night", "night only": "night", "night flight": "night",
    "night flights": "night", "night operations": "night", "night ops": "night",
    "for night flight": "night", "if night": "night", "when night": "night", "by night": "night",
    "night flying": "night", "after dark": "night", "if dark": "night", "day": "not night",
    "day only": "not night", "by day": "not night",
    "ifr": "ifr", "ifr only": "ifr", "ifr flight": "ifr", "for ifr": "ifr", "if ifr": "ifr",
    "vfr": "not ifr", "vfr only": "not ifr", "if vfr": "not ifr",
    "icing": "icing", "in icing": "icing", "if icing": "icing", "icing conditions": "icing",
    "in icing conditions": "icing", "if icing conditions": "icing", "if in icing": "icing",
    "when in icing": "icing",
}  # fmt: skip
_WEATHER: Final = re.compile(
    r"(?:in|with|for|during) (?:known |visible |heavy |strong )*(?:icing|ice|snow|rain|cloud|fog"
    r"|turbulence|darkness|winter|summer|imc|vmc|moisture|(?:cold|hot) weather|passengers|wind)"
    r"(?: conditions?| operations?| flights?| aboard| on board)?"
)
_EVERY: Final = frozenset({
    "all flights", "every flight", "any flight", "always", "in all cases", "all conditions",
    "day and night", "day or night", "all weather", "in any case", "either way",
})  # fmt: skip
_THEN: Final = re.compile(r"^(?:then|and|now|after that)[, ]+")
_REQUIRED: Final = frozenset({
    "if required", "as required", "if reqd", "if req'd", "if rqrd", "as rqrd", "if needed",
    "as needed", "if necessary", "when required", "as reqd", "as req'd", "optional", "if desired",
    "if applicable", "as applicable", "if used", "if in use",
})  # fmt: skip
"""Conditions about the item itself: the fact is named after its challenge."""


_LEADING: Final = re.compile(
    r"^(?:only )?(?:if|when|where|for|in|at|during|as|unless) (?:an? |the )?"
)
_OF_ITEM: Final = frozenset({"installed", "fitted", "equipped", "available", "carried"})


@dataclass(frozen=True, slots=True)
class Asides:
    """A text without its marks, and what the marks said."""

    text: str
    who: Role | None = None
    ranked: bool = False
    when: str = ""
    """The condition as printed, empty if there is none."""
    bracket: str = ""
    """The same if it is a condition only because it stands in brackets behind a name."""


def take_asides(text: str, *, named: bool = False) -> Asides:
    """Return ``text`` without marks in brackets and crew marks at its end.

    named: it is a challenge with a response; a few other words in brackets behind it are most often
    a condition too.
    """
    who, ranked, when, bracket = None, False, "", ""
    for found in list(_IN_BRACKETS.finditer(text)):
        inside = " ".join(found[1].split()).strip(" .:")
        role = None if inside.casefold() in _AMBIGUOUS else role_of(inside)
        if role is not None:
            who, ranked = role, inside.casefold() in SEATED
        elif is_condition(inside) and not when:
            when = inside
        elif named and not when and _may_be_condition(text[: found.start()], inside):
            when = bracket = inside
        else:
            continue
        text = text.replace(found[0], " ", 1)
    text = " ".join(text.split())
    head, _, last = text.rpartition(" ")
    mark = last.strip(":-\u2013,;").casefold()
    if who is None and mark in _BARE and (last.isupper() or last.casefold() == "f/o"):
        who, ranked, text = _ROLES[mark], mark in SEATED, head.rstrip(" -\u2013:/,")
    return Asides(text.strip(), who, ranked, when, bracket)


_OF_NAME: Final = re.compile(
    r"(?i)\b(?:each|both|all|every|total|left|right|side|affected|main|aux|standby|upper|lower|inner"
    r"|outer|front|rear|fore|aft|nose|tail|number|type|continued|cont|l|r|lh|rh|see|item|page|if"
    r"|usable|qty|quantity|gauge|indicator|as)\b"
    r"|^(?:(?:not )?[a-z-]+(?:ed|en)|check|test|set|on|off|open|shut|in|out)$"
)
"""Words in brackets that tell a thing from others, say what it is, or what is done to it."""
_SHORT: Final = 4


def _may_be_condition(name: str, inside: str) -> bool:
    """Say whether words in brackets behind a name may say when it applies: "Gear (water)"."""
    plain = re.fullmatch(r"[A-Za-z][A-Za-z'-]*(?: [A-Za-z][A-Za-z'-]*){0,3}", inside)
    short = inside.isupper() and len(inside) <= _SHORT and not name.isupper()
    word = re.search(r"(?i)[aeiouy]", inside) is not None and inside.casefold() not in UNITS
    told = word and not short and _OF_NAME.search(inside) is None
    return plain is not None and told and bool(re.search(r"[^\W\d_]{2}", name))


def role_of(text: str) -> Role | None:
    """Return whom a mark names; None if it is not a crew mark."""
    plain = " ".join(text.casefold().replace(".", "").split()).strip("()[]: ")
    if plain in _ROLES:
        return _ROLES[plain]
    apart = {_ROLES.get(mark) for mark in re.split(r"\s*[/&+,]\s*|\s+and\s+|\s+", plain)}
    return Role.BOTH if len(apart) > 1 and apart <= _ONE_OF_TWO else None


def is_position(text: str) -> bool:
    """Say whether a crew mark may be the position of a control instead: "fuel selector: both"."""
    return " ".join(text.casefold().split()).strip("()[]: ") in _AMBIGUOUS


def is_condition(text: str) -> bool:
    """Say whether words in brackets, or alone on a line, say when something applies."""
    plain = " ".join(text.casefold().split()).strip(" :.")
    return (
        plain in _KNOWN
        or plain in _REQUIRED
        or (_WHEN.match(plain) is not None and len(plain.split()) <= 7)
    )


def heads_condition(text: str) -> bool:
    """Say whether a line says when the lines after it apply; "after landing" is a phase instead."""
    plain = _spaced(" ".join(text.casefold().split()).strip(" :."))
    begins = plain.startswith(("if ", "when ", "unless ", "only ")) or plain.endswith(" only")
    named = plain in _KNOWN or _WEATHER.fullmatch(plain) is not None
    return named or (begins and is_condition(text))


def _bare_condition(plain: str) -> str:
    """Return a condition without the words around the one that counts: "when flying at night"."""
    words = [word for word in re.findall(r"[a-z']+", plain) if word not in _AROUND]
    return " ".join(words) if " ".join(words) in _KNOWN else plain


_AROUND: Final = frozenset({
    "if", "when", "while", "for", "at", "in", "by", "during", "the", "a", "only", "flying",
    "operating", "addition", "additionally", "also", "flight", "flights", "operations", "items",
    "conditions", "extra", "more", "checks",
})  # fmt: skip


def _spaced(plain: str) -> str:
    """Return a known condition with the space that slanting type can hide: "ificing"."""
    apart = re.sub(r"^(if|in|at|when|for)(?=[a-z])", r"\1 ", plain)
    return apart if apart in _KNOWN else plain


def ends_condition(text: str) -> bool:
    """Say whether a line says that what follows applies on every flight."""
    return _THEN.sub("", " ".join(text.casefold().split())).strip(" :.") in _EVERY


def condition_of(text: str, challenge: str) -> tuple[str, tuple[AskedFact, ...]]:
    """Return (condition as a list writes it, the facts it asks about)."""
    plain = _spaced(" ".join(re.sub(r"[^a-z0-9' ]+", " ", text.casefold()).split()))
    plain = _bare_condition(plain)
    if plain in _KNOWN:
        known = _KNOWN[plain]
        return known, (AskedFact(known.removeprefix("not "), ""),)
    bare = re.sub(
        r"^(?:only )?(?:if|when|where|for|in|at|during|as|unless) (?:an? |the )?", "", plain
    )
    bare = re.sub(r" only$", "", bare)
    turned = plain.startswith("unless ")
    of_item = plain in _REQUIRED or bare in (
        "installed",
        "fitted",
        "equipped",
        "available",
        "carried",
    )
    words = f"{challenge} {bare}" if of_item else bare
    name = fact_name(words)
    ask = _question_for(challenge if of_item else "", bare)
    return (f"not {name}" if turned else name), (AskedFact(name, ask),)


def fact_name(words: str) -> str:
    """Return a name that a condition can use: "APU installed" is apu_installed."""
    plain = re.sub(r"[^a-z0-9]+", "_", words.casefold()).strip("_")[:40].strip("_")
    if plain in ("and", "or", "not", "if", "else", "in", "is", "none", "true", "false", ""):
        plain = f"{plain}_set".strip("_")
    return plain if plain[:1].isalpha() else f"fact_{plain}"


def _question_for(challenge: str, words: str) -> str:
    if not challenge:
        return say.ask_whether_applies(words)
    small = challenge if challenge.isupper() else challenge[:1].lower() + challenge[1:]
    return say.ask_whether_is(small, words)
