"""Interprets the response on a card: blanks, alternatives, order, "as required"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from callout.core.authoring.guesses import Blank, Doubt
from callout.core.authoring.written import BLANKS, with_quantities
from callout.core.formats.draft_text import are_positions, clean_markdown, small_letters

AS_REQUIRED: Final = re.compile(
    r"\bas\s?(?:req(?:(?:uire)?'?d)?\.?|rq(?:r|')?d\.?|reqd\.?|needed|necessary|appropriate"
    r"|applicable|desired)(?!\w)"
    r"|\b(?:if|when)\s?(?:required|needed|rqrd)\b|^a/r$",
    re.IGNORECASE,
)
_PART_REQUIRED: Final = re.compile(
    r"^[a-z][a-z -]* as (?:required|needed|necessary)\s*,\s*[a-z]"
    r"|,\s*[a-z]+ as (?:required|needed)$",
    re.IGNORECASE,
)
"""One of several parts of a reply is left open."""
_BOX: Final = re.compile(r"[\u2610-\u2612\u25a1\u25a2\u25cb\u25ef\u2751]|\[\s?\]")
_ENDS: Final = re.compile(r"^(?:[\s,;:\u2013]|-(?!\d))+|[\s,;:\u2013-]+$")
_OR: Final = re.compile(r"(?<=\s)or(?=\s)|(?<!\s)\s*\|\s*", re.IGNORECASE)
"""What divides alternatives."""
_OR_MORE: Final = re.compile(
    r"(?<= )or(?= (?:more|less|fewer|above|below|over|under|greater|higher|lower|later|earlier"
    r"|better|longer|shorter|wider|narrower|larger|smaller|heavier|lighter|faster|slower|stronger|weaker"
    r"|farther|further|nearer|warmer|colder)\b)",
    re.IGNORECASE,
)
"""After a number: "24 V or more" is one reply; "higher or lower" is two."""
_NEAR: Final = 24
"""Letters before it in which the number stands, with its unit."""
_EITHER: Final = re.compile(r"^either\s++(?=.*\bor\b)", re.IGNORECASE)
_ADDED: Final = re.compile(
    r"((?<=[\d}])\s*[A-Za-z%\u00b0/]{0,5}|\b(?i:v(?:app|ref|ls|at|[rxy])))\s\+\s"
)
"""An addition, "65 kt + gust", rather than a second part."""
_SLASH: Final = re.compile(r"(?<!\s)\s*(?<!\b[1-9](?=/[2-9]\b))[/\\]\s*")
"""What divides a response; "1/4" is not divided."""
_AND: Final = re.compile(r"(?<!\s)\s*(?:\s[&+]\s|;|,(?!\d))\s*|(?<=\w)\s+[-\u2013]\s+(?=[^\W\d])")
_BOUNDED: Final = re.compile(
    r"(?<!/)\b(?:min(?:imum)?|max(?:imum)?|at least|at most|above|below|between"
    r"|not (?:less|more|above|below))\b"
    r"|[<>\u2264\u2265\u2248~]|\d\s*(?:-|\u2013|to|\u2026)\s*\d",
    re.IGNORECASE,
)
ACTS: Final = frozenset({
    "set", "checked", "check", "crosschecked", "cross-checked", "xchecked", "x-checked", "verified",
    "confirmed", "compared", "identified", "tested", "complete", "completed", "reviewed", "briefed",
    "received", "obtained", "noted", "recorded", "secure", "secured", "locked", "latched", "stowed",
    "fastened", "adjusted", "removed", "aboard", "clear", "entered", "loaded", "displayed",
    "announced", "advised", "correct", "free", "normal", "guarded", "green", "observed", "agreed",
    "updated", "selected", "programmed", "inserted",
})  # fmt: skip
"""Things done or seen, which can be true alongside another state. Common practice."""
_SLASH_UNIT: Final = re.compile(r"(?<=[\d_} ](?:km|kg|ft|lb)) /(?=(?:h|hr|min|s)\b)")
"""A space within a unit, as pictures are read."""
_UNIT_SLASH: Final = re.compile(
    r"(?i)\b(?:1/min|(?:km|kg|l|lb|lbs|gal|usg|qt|nm|t)/(?:h|hr|min)|ft/min|m/s|kg/l|n/a|f/o|a/c|a/p|f/d|a/t"
    r"|i/o|t/o|(?<=, )ta/ra)\b|(?<=[\d_}])\s?[a-z]{1,5}/(?:h|hr|min|s|sec|l|sq|cm|m|in|kg|lb|day)\b"
)


@dataclass(frozen=True, slots=True)
class Understood:
    """A response in the style of a list."""

    replies: tuple[str, ...] = ()
    as_required: bool = False
    doubts: tuple[Doubt, ...] = ()
    blanks: tuple[Blank, ...] = ()


def understand_response(
    text: str, challenge: str, rivals: Mapping[str, frozenset[str]]
) -> Understood:
    """Return what ``text`` asks for; ``rivals`` gives the opposites of a word."""
    boxed = [_without_or(part) for part in _BOX.split(text)]
    if len(boxed) == 2 and not boxed[0]:
        text = boxed[1]
    if (made := _left_to_choose(text, boxed)) is not None:
        return made
    text = _SLASH_UNIT.sub("/", text)
    required = AS_REQUIRED.search(text) is not None
    bare = AS_REQUIRED.sub(" ", text) if required else text
    bare, blanks = with_quantities(bare, challenge)
    bare = clean_markdown(bare)
    if required:
        bare = re.sub(r"\(([^()]*)\)", r"\1", bare).strip(" /-,:()")
    doubts: list[Doubt] = [Doubt.BLANK] if any(not blank.kind for blank in blanks) else []
    replies, unsure = _several_replies(bare, rivals)
    parts = _slash_parts(bare)
    if required and not blanks and len(parts) > 1 and not _is_sequence(parts):
        replies = tuple(dict.fromkeys(_clean_reply(part) for part in parts))
    if required and not blanks:
        given = tuple(r for r in replies if r)
        if len(given) < 2:
            doubts.append(Doubt.AS_REQUIRED)
        return Understood(given, True, tuple(doubts))
    doubts += [Doubt.SLASH] if unsure else []
    if not blanks and _BOUNDED.search(bare) and re.search(r"\d", bare):
        doubts.append(Doubt.RANGE)
    doubts += [] if replies else [Doubt.NO_RESPONSE]
    return Understood(replies, False, tuple(doubts), blanks)


def _without_or(part: str) -> str:
    """Return a position without what joins it to the next one: "none or"."""
    bare = part.strip(" ,/\t")
    return bare[:-3].rstrip(" ,/") if bare.casefold().endswith(" or") else bare


def _left_to_choose(text: str, boxed: Sequence[str]) -> Understood | None:
    """Return a reply with a part left open, or with a box before each of several positions."""
    if _PART_REQUIRED.search(text) and not BLANKS.search(text):  # "flaps as required, brakes off"
        return Understood((_in_order(clean_markdown(text)),), False, (Doubt.AS_REQUIRED,))
    if len(boxed) > 2 and not boxed[0] and all(boxed[1:]) and not BLANKS.search(text):
        return Understood(tuple(map(_clean_reply, boxed[1:])), False, (Doubt.SLASH,))
    return None


def _several_replies(
    text: str, rivals: Mapping[str, frozenset[str]]
) -> tuple[tuple[str, ...], bool]:
    """Return the right replies, and whether their number is uncertain."""
    held = _OR_MORE.sub(_kept_limit, _EITHER.sub("", text))
    found = (_clean_reply(part.replace("\x00", "or")) for part in _OR.split(held))
    choices = [part for part in found if part]
    if len(choices) > 1:
        choices = [*_listed(choices[0]), *choices[1:]]
        return tuple(dict.fromkeys(choices)), False
    if not choices:
        return (), False
    parts = _slash_parts(choices[0])
    if len(parts) < 2:
        return (_in_order(choices[0]),), False
    if _is_choice(parts, rivals):
        return tuple(dict.fromkeys(_clean_reply(part) for part in parts)), False
    if are_positions(parts):
        return tuple(dict.fromkeys(_clean_reply(part) for part in parts)), True
    wording = _common_words(parts)
    if wording:
        return tuple(dict.fromkeys(_clean_reply(part) for part in parts)), True
    return (_in_order(", ".join(parts)),), not _is_sequence(parts)


def _kept_limit(found: re.Match[str]) -> str:
    """Return "or" as no divider if one of the two words before it has a number or a value."""
    before = found.string[max(0, found.start() - _NEAR) : found.start()].split()[-2:]
    measured = any(char.isdigit() or char in "_}" for word in before for char in word)
    return "\x00" if measured else found[0]


def _listed(text: str) -> list[str]:
    """Return the first parts of "2, 3 or off"; "set, guarded or off" is no such list."""
    parts = [part.strip() for part in text.split(",")]
    single = all(len(part.split()) == 1 and part.casefold() not in ACTS for part in parts)
    return [_clean_reply(part) for part in parts] if single else [text]


def _slash_parts(text: str) -> list[str]:
    held = _UNIT_SLASH.sub(lambda m: m[0].replace("/", "\x00"), text)
    parts = (part.replace("\x00", "/").strip() for part in _SLASH.split(held))
    return [part for part in parts if part]


def _is_choice(parts: list[str], rivals: Mapping[str, frozenset[str]]) -> bool:
    """Say whether the parts exclude each other, like positions of one control."""
    words = [frozenset(re.findall(r"[a-z]+", part.casefold())) for part in parts]
    return all(
        any(rivals.get(word, frozenset()) & other for word in one)
        for at, one in enumerate(words)
        for other in words[at + 1 :]
    )


def _is_sequence(parts: list[str]) -> bool:
    """Say whether all but the first are things done or seen, or each is a value."""
    if all(re.search(r"\d|\{", part) for part in parts):
        return True
    return all(part.casefold().split()[0] in ACTS for part in parts[1:])


def _common_words(parts: list[str]) -> frozenset[str]:
    words = [
        frozenset(re.findall(r"[a-z]{3,}", part.casefold())) - {"and", "the"} for part in parts
    ]
    return frozenset.intersection(*words)


def _in_order(text: str) -> str:
    held = _ADDED.sub("\\1 \x00 ", text)
    parts = [part.replace("\x00", "+").strip() for part in _AND.split(held) if part.strip()]
    return small_letters(", ".join(parts))


def _clean_reply(text: str) -> str:
    bare = _ENDS.sub("", clean_markdown(text))
    whole = re.fullmatch(r"\(([^()]*)\)", bare)
    return small_letters(whole[1] if whole else bare)
