"""What a reply says beside its state: a remark, a unit, or that a value is missing from it."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Final

from callout.core.authoring.quantities import SIDES, asks_for_value, unit_end
from callout.core.authoring.responses import ACTS, AS_REQUIRED, Understood
from callout.core.formats.printed_units import SHORT, UNITS
from callout.core.paper.misread import LIQUID

_LABELS: Final = re.compile(
    r"(?i)(?<![A-Za-z])(?:v ?1|v ?r|v ?2|v ?ref|v ?app|qnh|qfe|n ?1|n ?2)(?![A-Za-z])"
)


def without_remark(text: str) -> tuple[str, str]:
    """Return a response and the remark in brackets after it; what has a value in it stays."""
    found = re.fullmatch(r"([^()]*[^()\s/&,])\s*\(([^()]*[A-Za-z][^()]*)\)", text)
    if found is None or re.search(r"\d|_|\bor\b", found[2]) or AS_REQUIRED.search(found[2]):
        return text, ""
    said, aside = (set(re.findall(r"[a-z]+", part.casefold())) for part in found.groups())
    if said & aside or len(aside) < 2:  # "on (leave on)" says the reply more fully
        return text, ""
    return found[1], found[2].strip()


def unit_of_name(challenge: str, reply: str) -> tuple[str, str]:
    """Return both with the unit of "Fuel (L)" after each value of the reply instead."""
    found = _UNIT_NAMED.fullmatch(challenge)
    values = list(_VALUE.finditer(reply))
    if found is None or not values or unit_end(found[2]) < len(found[2]):
        return challenge, reply
    side = found[2].casefold() in SIDES and _SIDED.search(found[1])
    if side or any(unit_end(reply[value.end() :]) for value in values):
        return challenge, reply
    return found[1], _LAST_OF_RANGE.sub(lambda m: f"{m[0]} {found[2]}", reply)


_UNIT_NAMED: Final = re.compile(r"(.*\w)\s*[(\[]([^()\[\]]{1,10})[)\]]")
_VALUE: Final = re.compile(r"_{2,}|(?<![\w.])\d+(?:[.,]\d+)?(?![\w.])")
_LAST_OF_RANGE: Final = re.compile(rf"(?:{_VALUE.pattern})(?!\s*(?:-|\u2013|to)\s*\d)")
_SIDED: Final = re.compile(
    r"\b(?:tank|pump|engine|wing|side|seat|gear|wheel|door)s?\b", re.IGNORECASE
)


def is_value_lost(challenge: str, meant: Understood) -> bool:
    """Say whether a challenge asks for a value and the reply only confirms that it was seen to."""
    words = re.findall(r"[a-z-]+", " ".join(meant.replies).casefold())
    told = any(c.isdigit() for reply in meant.replies for c in reply)
    seen_to = bool(words) and all(word in ACTS for word in words)
    return seen_to and not told and not meant.blanks and asks_for_value(challenge)


def is_broken(told: str, raw: str, meant: Understood, challenge: str) -> bool:
    """Say whether a reply that was read from a picture lacks a part that was printed."""
    said = told or raw
    lacks = is_label_alone(told, meant) or lacks_number(said, meant)
    return lacks or has_half_brackets(raw) or has_letter_alone(said, meant, challenge)


def has_letter_alone(text: str, meant: Understood, challenge: str) -> bool:
    """Say whether a part of a reply ends with the letter of a unit and no number: "LOAD A".

    What has letters for its name, a mode or a tank, is none, and "L" is a side where nothing is
    measured. A small "l" is read as 1 where a liquid is measured.
    """
    if meant.as_required:
        return False
    measured = asks_for_value(challenge)
    for part in re.split(r"[,;]|\s[/&+]\s", text):
        before, last = ["", "", *part.split()][-2:]
        named = _NAMED_BY_LETTER.search(before or challenge)
        unit = last in _UNIT_LETTERS or (last == "L" and measured)
        misread = last in ("1", "I", "|") and bool(before) and LIQUID.search(challenge)
        if (unit or misread) and not named and not _NUMBER.search(before):
            return True
    return False


def has_half_brackets(text: str) -> bool:
    """Say whether a bracket has no other: a blank in brackets was not read whole."""
    return text.count(")") > text.count("(") or text.count("[") != text.count("]")


def is_unit_alone(text: str, meant: Understood) -> bool:
    """Say whether a reply is a unit in small letters and no number: "l", "h", "%"."""
    small = text.casefold() in SHORT and text.islower() and text not in _WORDS_TOO
    return (small or text == "%") and not meant.blanks


def lacks_number(text: str, meant: Understood) -> bool:
    """Say whether a unit stands in a reply without a number or a blank before it: "L R USG"."""
    if meant.as_required:
        return False
    words = text.replace("/", " / ").replace(",", " , ").split()
    for before, word in pairwise(["", *words]):
        unit = word.casefold() in UNITS and len(word) > 1 and word.casefold() not in _WORDS_TOO
        if unit and not _NUMBER.search(before) and before.casefold() not in _SPELT:
            return True
    return False


_UNIT_LETTERS: Final = frozenset("AVTHZFCWKNahlmstvz%")
_NAMED_BY_LETTER: Final = re.compile(
    r"(?i)\b(?:mode|info(?:rmation)?|atis|letter|bus|tank|card|page|pump|gate|stand|point|position"
    r"|side|class|channel|system|hydraulics?|engine|compass|ident|marker|runway|taxiway|route"
    r"|selector|switch|key|type|series|plan|to|at|via)s?\W*$"
)
"""What is told apart by letters. Common practice."""
_NUMBER: Final = re.compile(r"[\d_)}]$|^(?:full|half|no|low|high)$", re.IGNORECASE)
_SPELT: Final = frozenset({
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "zero", "per",
    "in", "the", "to", "of", "a", "each", "every", "all", "few", "some", "both",
})  # fmt: skip
_WORDS_TOO: Final = frozenset({"min", "units", "a", "sec"})


def is_label_alone(text: str, meant: Understood) -> bool:
    """Say whether a reply names values and has room for none: "V1 VR"."""
    names = len(meant.blanks) + sum(c.isdigit() for c in re.sub(r"[A-Za-z]\d", "", text))
    words = _LABELS.sub(" ", f" {text} ")
    return not names and words != f" {text} " and not re.search(r"[^\W_]", words)
