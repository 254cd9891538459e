"""Parses an answer, as a list writes it, into words and values."""

from __future__ import annotations

import re
from decimal import Decimal

from callout.core.judging.value_kinds import SIDES, FoundValue, value_of
from callout.core.language.numbers import read_number
from callout.core.language.tables import Label, PieceKind, Tables
from callout.core.language.words import Token, phrase_at, words_of
from callout.core.model.expectation import Answer, Part, ValueKind, Words

_NUMBER = re.compile(
    r"(?<![A-Za-z0-9.])(?:(?P<mach>M(?:ach)?\s*)(?=0?\.[0-9]))?"
    r"(?P<sign>[-+\u2212](?=\.?[0-9]))?"
    r"(?P<number>[0-9]+(?:[.,:][0-9]+)*|\.[0-9]+)"
)
_TIGHT_LABEL = re.compile(r"\b(FL|QNH|QFE|RWY|HDG)\s?(?=[0-9])", re.IGNORECASE)
_MINUS = re.compile(r"\b(?:minus|negative)\s+(?=\.?[0-9])", re.IGNORECASE)
_SIDE = dict(zip("LRC", SIDES, strict=True))
_WORD = re.compile(r"[A-Za-z]+")
_UNIT_TEXT = {
    n: re.compile(r"(?<![A-Za-z/])[A-Za-z/]++" + r" [A-Za-z/]++" * (n - 1)) for n in (1, 2, 3, 4)
}
_DEGREES = {"C": "degC", "F": "degF"}


def parse_answer(text: str, tables: Tables) -> Answer:
    """Return ``text`` ("flaps 5", "1013 hPa", "FL190", "12 left, 14 right") as words and values."""
    source = _TIGHT_LABEL.sub(lambda m: m.group(1) + " ", digits_for_words(text, tables))
    source = _MINUS.sub("-", source)
    parts: list[Part] = []
    at = 0
    while True:
        found = _NUMBER.search(source, at)
        if found is None:
            break
        before = source[at : found.start()]
        label, lead = _quantity_label(before, tables)
        mach = bool(found["mach"]) or (label is not None and label.name == "mach")
        if mach:
            label = tables.label_kinds["mach"]
        unit, end = _written_unit(source, found.end(), found["number"], mach, tables)
        tail, end = _unit_tail(source, end, found["number"], unit)
        number = _signed_number(found["sign"] or "", found["number"])
        _add_words(parts, lead)
        parts.append(value_of(FoundValue(number, found["number"], unit, label, tail)))
        if tail:
            parts.append(Words(tail))
        at = end
    _add_words(parts, source[at:])
    return Answer(tuple(parts) or (Words(text),), text)


def digits_for_words(text: str, tables: Tables) -> str:
    """Return ``text`` with spelled-out numbers as digits ("zero zero five": "005")."""
    pieces = re.split(r"(\s+|-(?=[A-Za-z])|(?<=[A-Za-z])[,;.]+)", text)
    out: list[str] = []
    i = 0
    while i < len(pieces):
        end, digits = _word_number(pieces, i, tables)
        out.append(digits if end > i else pieces[i])
        i = max(end, i + 1)
    return "".join(out)


def _word_number(pieces: list[str], i: int, tables: Tables) -> tuple[int, str]:
    """Return (end, digits) of the spelled-out number at ``i``; end is ``i`` if there is none."""
    best, digits = i, ""
    run = []
    at = i
    while at < len(pieces):
        piece = tables.pieces.get(pieces[at].lower())
        if piece is None or piece.soft:
            break
        run.append(piece)
        reading = read_number(tuple(run))
        if reading is not None and any(p.kind is not PieceKind.WRITTEN for p in run):
            point = reading.point
            plain = reading.digits if point is None else f"{reading.whole}.{reading.digits[point:]}"
            best, digits = at + 1, ("-" if reading.negative else "") + plain
        at += 1
        if at < len(pieces) and not pieces[at].strip(" -"):
            at += 1
    return best, digits


def _add_words(parts: list[Part], text: str) -> None:
    """Add words; a comma before or after them is kept, since it separates clauses."""
    clean = text.strip(" \t\n,;.:")
    if not any(c.isalnum() for c in clean):
        return
    before = ", " if parts and text.lstrip().startswith((",", ";")) else ""
    after = "," if text.rstrip().endswith((",", ";")) else ""
    parts.append(Words(before + _capital_letters(clean) + after))


def _capital_letters(text: str) -> str:
    """A capital A, I or O at the end is a letter of the alphabet, not a word."""
    names = {"A": "alfa", "I": "india", "O": "oscar"}
    head, blank, last = text.rpartition(" ")
    return head + blank + names.get(last, last)


def _quantity_label(before: str, tables: Tables) -> tuple[Label | None, str]:
    """Return the quantity's name right before a number, and the words to keep."""
    tokens = tuple(Token(w) for w in words_of(before, tables))
    for length in range(min(4, len(tokens)), 0, -1):
        found = phrase_at(tokens, len(tokens) - length, tables.labels)
        if found and found[0] == length:
            label = tables.label_kinds[found[1][0]]
            drop = ValueKind.FLIGHT_LEVEL in label.kinds or label.name == "mach"
            return label, _drop_last_words(before, length) if drop else before
    return None, before


def _drop_last_words(text: str, count: int) -> str:
    return " ".join(text.split()[:-count])


def _written_unit(
    source: str, at: int, raw: str, mach: bool, tables: Tables
) -> tuple[str | None, int]:
    """Return the unit written after a number and where it ends."""
    if mach:
        return "mach", at
    rest = source[at:]
    close = len(rest) - len(rest.lstrip(" "))
    rest = rest.lstrip(" ")
    if rest.startswith("%"):
        return "percent", at + close + 1
    degrees = re.match(r"(?:°\s?|deg\s)?([CF])\b", rest)
    if degrees:
        return _DEGREES[degrees[1]], at + close + degrees.end()
    if rest.startswith("°"):
        return "deg", at + close + 1
    if close == 0 and re.match(r"[LRC]\b", rest) and len(raw) <= 2 and int(raw) <= 36:
        return None, at
    return _word_unit(rest, at + close, at, tables)


def _word_unit(rest: str, start: int, none: int, tables: Tables) -> tuple[str | None, int]:
    for length in (4, 3, 2, 1):
        found = _UNIT_TEXT[length].match(rest)
        if found is None:
            continue
        written = found.group()
        unit = written if written in tables.units else _unit_named(written, tables)
        if unit is not None:
            return unit, start + found.end()
    return None, none


def _unit_named(written: str, tables: Tables) -> str | None:
    lower = written.lower()
    if lower in tables.unit_symbols and len(lower) > 1:
        return tables.unit_symbols[lower]
    tokens = tuple(Token(w) for w in words_of(written, tables))
    found = phrase_at(tokens, 0, tables.unit_words) if tokens else None
    if found is None or found[0] != len(tokens) or len(lower) < 2:
        return None
    return found[1][0]


def _unit_tail(source: str, at: int, raw: str, unit: str | None) -> tuple[str, int]:
    if unit is not None:
        return "", at
    if re.match(r"[LRC]\b", source[at:]) and len(raw) <= 2:
        return _SIDE[source[at]], at + 1
    if re.match(r"\s?Z\b", source[at:]) and len(raw.replace(":", "")) == 4:
        return "zulu", at + source[at:].index("Z") + 1
    return "", at


def _signed_number(sign: str, raw: str) -> Decimal:
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?", raw):
        raw = raw.replace(",", "")
    raw = raw.replace(":", "")
    if raw.count(",") == 1 and "." not in raw:
        raw = raw.replace(",", ".")
    if raw.count(".") > 1 or "," in raw:
        raw = re.sub(r"[.,]", "", raw)
    number = Decimal("0" + raw if raw.startswith(".") else raw)
    return -number if sign in ("-", "\u2212") and sign else number
