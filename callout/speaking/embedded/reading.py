"""Turns written text into the words to say: numbers, units and abbreviations as the trade says
them.

Numbers after FAA AIM 4-2-8 to 4-2-11 and ICAO Annex 10 Vol II 5.2.1.4: digits one by one, 9 as
"niner", round hundreds and thousands as such, digits before "thousand" apart, "decimal" in a
frequency; the point of an altimeter setting in inches is not said. Numbers below a hundred without
such a meaning are everyday counts (common practice).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from typing import Any

import yaml

from callout.core.language.number_words import cardinal_words, one_by_one

ENDS, PAUSES = ".?!", ",;:"
_TOKEN = re.compile(
    r"\d+(?:,\d{3})*(?:\.\d+)?|[A-Za-z]+(?:['/][A-Za-z]+)*|[.,;:?!]|(?<![\w-])[-−](?=\d)|(?<=\d)-(?=\d)"
    r"|[%°+&=]"
)
_SIGNS = {"%": "percent", "°": "degrees", "+": "plus", "&": "and", "=": "equals", "−": "minus"}
_BY_DIGIT = frozenset(
    ("runway", "heading", "squawk", "transponder", "code", "level", "qnh", "channel", "course")
)
"""After these words every digit is said."""
_SIDES = {"L": "left", "R": "right", "C": "center"}


@dataclass(frozen=True, slots=True)
class TradeWords:
    """What no general dictionary has; the file explains each table."""

    sounds: dict[str, str]
    means: dict[str, str]
    letters: frozenset[str]
    units: dict[str, tuple[str, str]]

    @classmethod
    def shipped(cls) -> TradeWords:
        """Return the package's own."""
        path = resources.files("callout") / "data/speaking/trade.yaml"
        told: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
        units = {unit: (one, many) for unit, (one, many) in told["units"].items()}
        return cls(told["sounds"], told["means"], frozenset(told["letters"]), units)


def split_sentences(text: str, trade: TradeWords) -> list[list[str]]:
    """Return the sentences of ``text`` as words and marks; capitals are kept for spelling."""
    found: list[list[str]] = [[]]
    for word in _sentence_words(_plain_signs(text), trade):
        found[-1].append(word)
        if word in ENDS:
            found.append([])
    return [s for s in found if any(w not in ENDS + PAUSES for w in s)]


def _plain_signs(text: str) -> str:
    """Return ``text`` without accents and with only the characters that are read."""
    flat = re.sub(r"°\s?([CF])\b", r" deg\1", text.replace("—", ", ").replace("–", "-"))
    flat = unicodedata.normalize("NFKD", flat)
    return "".join(c for c in flat if not unicodedata.combining(c)).replace("’", "'")


def _sentence_words(text: str, trade: TradeWords) -> Iterator[str]:
    tokens = _TOKEN.findall(text)
    skip = False
    for n, token in enumerate(tokens):
        before, after = tokens[n - 1] if n else "", tokens[n + 1] if n + 1 < len(tokens) else ""
        if skip:
            skip = False
        elif token[0].isdigit():
            yield from _number_words(token, before.lower(), after, trade).split()
            skip = after in trade.units or (after in _SIDES and _is_runway(token, before))
        elif token in "-−":
            yield "to" if before[:1].isdigit() else "minus"
        else:
            yield from trade.means.get(token, _SIGNS.get(token, token)).split()


def _is_runway(token: str, before: str) -> bool:
    return len(token) == 2 and token.isdigit() and before.lower() in ("runway", "runways", "")


def _number_words(token: str, before: str, after: str, trade: TradeWords) -> str:
    by_digit = before in _BY_DIGIT
    said = number_words(token, by_digit=by_digit)
    if after in _SIDES and _is_runway(token, before):
        return f"{one_by_one(token, niner=True)} {_SIDES[after]}"
    if after in trade.units:
        return f"{said} {trade.units[after][token not in ('1', '1.0')]}"
    return said


def number_words(token: str, *, by_digit: bool = False) -> str:
    """Return an unsigned number in words; by_digit: each digit, whatever the number means."""
    whole, _, fraction = token.replace(",", "").partition(".")
    digits = one_by_one(whole, niner=len(whole) > 1)
    if fraction:
        return _pointed_number(whole, fraction)
    if by_digit or (whole[0] == "0" and len(whole) > 1):
        return digits
    number = int(whole)
    if number < 100:
        return cardinal_words(number)
    if number % 100 == 0 and number < 100_000:
        return _round_number(number)
    return digits


def _round_number(number: int) -> str:
    thousands, rest = divmod(number, 1000)
    hundreds = f"{cardinal_words(rest // 100)} hundred" if rest else ""
    said = f"{one_by_one(str(thousands), niner=thousands > 9)} thousand" if thousands else ""
    return f"{said} {hundreds}".strip()


def _pointed_number(whole: str, fraction: str) -> str:
    value = float(f"{whole}.{fraction}")
    inches = len(fraction) == 2 and 27 <= value < 32
    frequency = len(whole) == 3 and 108 <= value < 137
    before = cardinal_words(int(whole)) if int(whole) < 10 else one_by_one(whole, niner=True)
    after = one_by_one(fraction, niner=len(fraction) > 1 or len(whole) > 1)
    if inches:
        return f"{before} {after}"
    return f"{before} {'decimal' if frequency else 'point'} {after}"
