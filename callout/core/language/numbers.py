"""Spoken and written numbers: what value a run of words can stand for.

Sources of the forms: ICAO Annex 10 Vol II 5.2.1.4, ICAO Doc 9432, FAA AIM 4-2-8 to 4-2-11 and
FAA Order JO 7110.65 2-4-17/18 (digit by digit, group form, hundreds and thousands).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from callout.core.language.tables import Piece, PieceKind

_K = PieceKind
_MOST_HUNDREDS = 99


@dataclass(frozen=True, slots=True)
class NumberReading:
    """One way to understand a sequence of number words."""

    digits: str
    """All digits in the order said, leading zeros included."""
    point: int | None = None
    """Digits before the decimal point when one was said, else None."""
    negative: bool = False
    signed: bool = False
    """True when "plus" or "minus" was said."""
    scaled: bool = False
    """True when "hundred" or "thousand" was said."""
    clipped: bool = False
    """True for single digits before "hundred" ("seven six hundred")."""
    headless: bool = False
    """True for "hundred" without a count; its first word may have been lost."""
    written: bool = False
    """True when it was written entirely in digits."""
    separator: str = ""
    """Separator inside a single written number, as the recogniser printed it."""
    first: int = 0
    """Number of digits in the first spoken group ("one eighteen": 1, "twelve": 2); 0 if unknown."""

    @property
    def whole(self) -> str:
        """Digits before the point."""
        return self.digits if self.point is None else self.digits[: self.point]

    @property
    def value(self) -> Decimal:
        """The number itself."""
        fraction = "" if self.point is None else self.digits[self.point :]
        number = Decimal(f"{self.whole or '0'}.{fraction or '0'}")
        return -number if self.negative else number


def read_number(pieces: tuple[Piece, ...]) -> NumberReading | None:
    """Return ``pieces`` as one number, or None if they are not one."""
    body = pieces
    sign = pieces[0].kind if pieces and pieces[0].kind in (_K.MINUS, _K.PLUS) else None
    if sign is not None:
        body = pieces[1:]
    half = bool(body) and body[-1].kind is _K.HALF
    reading = _read_unsigned(body[:-1] if half else body)
    if half:
        reading = _and_a_half(reading)
    if reading is None or sign is None:
        return reading
    return replace(reading, negative=sign is _K.MINUS, signed=True)


def _and_a_half(reading: NumberReading | None) -> NumberReading | None:
    if reading is None or reading.point is not None:
        return None
    return NumberReading(reading.digits + "5", len(reading.digits))


def _read_unsigned(pieces: tuple[Piece, ...]) -> NumberReading | None:
    if len(pieces) > 2 and pieces[-1].kind is _K.THOUSAND:
        part = _part_thousands(pieces[:-1])
        if part is not None:
            return part
    points = [i for i, p in enumerate(pieces) if p.kind is _K.POINT]
    if len(points) > 1 or not pieces:
        return None
    if points:
        return _with_point(pieces[: points[0]], pieces[points[0] + 1 :])
    kinds = {p.kind for p in pieces}
    if kinds & {_K.HUNDRED, _K.THOUSAND}:
        hour = grouped_digits(pieces[:-1]) if pieces[-1].kind is _K.HUNDRED else None
        if hour and len(hour) == 2 and hour[0] == "0":
            return NumberReading(hour + "00", scaled=True)  # "zero eight hundred", a time
        number = _scaled_number(pieces)
        clipped = [p.kind for p in pieces[:2]] == [_K.DIGIT, _K.DIGIT] and _K.THOUSAND not in kinds
        headless = pieces[0].kind is _K.HUNDRED
        if number is None:
            return None
        return replace(_plain_reading(number), clipped=clipped, headless=headless)
    if len(pieces) == 1 and pieces[0].kind is _K.WRITTEN:
        only = pieces[0]
        return NumberReading(only.digits, only.point, written=True, separator=only.separator)
    return _joined_groups(pieces)


def _part_thousands(pieces: tuple[Piece, ...]) -> NumberReading | None:
    """ "Two point five thousand", "two and a half thousand"."""
    half = pieces[-1].kind is _K.HALF
    if not half and all(p.kind is not _K.POINT for p in pieces):
        return None
    found = _and_a_half(_read_unsigned(pieces[:-1])) if half else _read_unsigned(pieces)
    return None if found is None or found.scaled else _plain_reading(found.value * 1000)


def _plain_reading(number: Decimal) -> NumberReading:
    text = format(number.normalize(), "f")
    whole, _, fraction = text.partition(".")
    return NumberReading(whole + fraction, len(whole) if fraction else None, scaled=True)


def _joined_groups(pieces: tuple[Piece, ...]) -> NumberReading | None:
    """Groups in sequence; one of them may be written with a point ("118.4 5 0")."""
    head = pieces[0]
    if head.kind is _K.WRITTEN and head.point is not None and head.separator == ".":
        rest = grouped_digits(pieces[1:])
        return None if rest is None else NumberReading(head.digits + rest, head.point)
    digits = grouped_digits(pieces)
    written = all(p.kind is _K.WRITTEN for p in pieces)
    first = len(head.digits) if head.kind in (_K.DIGIT, _K.TEEN, _K.TENS, _K.WRITTEN) else 0
    return None if digits is None else NumberReading(digits, written=written, first=first)


def _with_point(before: tuple[Piece, ...], after: tuple[Piece, ...]) -> NumberReading | None:
    fraction = grouped_digits(after)
    if not fraction or (before and before[0].kind is _K.HUNDRED):
        return None
    if any(p.kind in (_K.HUNDRED, _K.THOUSAND) for p in before):
        number = _scaled_number(before)
        whole = None if number is None else str(number)
        scaled = True
    else:
        whole, scaled = grouped_digits(before), False
    if whole is None or "." in whole:
        return None
    return NumberReading(whole + fraction, len(whole), scaled=scaled)


def grouped_digits(pieces: tuple[Piece, ...]) -> str | None:
    """Return the digits of groups in sequence ("twenty nine ninety two": 2992)."""
    out = ""
    i = 0
    while i < len(pieces):
        piece = pieces[i]
        following = pieces[i + 1] if i + 1 < len(pieces) else None
        step = 1
        if piece.kind in (_K.DIGIT, _K.TEEN) or (piece.kind is _K.WRITTEN and piece.point is None):
            out += piece.digits
        elif piece.kind is _K.TENS:
            if following and following.kind is _K.DIGIT and following.digits != "0":
                out += piece.digits[0] + following.digits
                step = 2
            else:
                out += piece.digits
        elif piece.kind is _K.REPEAT and following and following.kind is _K.DIGIT:
            out += following.digits * int(piece.digits)
            step = 2
        else:
            return None
        i += step
    return out


def _scaled_number(pieces: tuple[Piece, ...]) -> Decimal | None:
    """Numbers with "hundred" or "thousand": "one seven thousand niner hundred" is 17,900."""
    thousands = [i for i, p in enumerate(pieces) if p.kind is _K.THOUSAND]
    if not thousands:
        hundreds = _read_hundreds(pieces, _MOST_HUNDREDS)
        return None if hundreds is None else Decimal(hundreds)
    if len(thousands) > 1:
        return None
    at = thousands[0]
    head = _thousands_head(pieces[:at])
    tail = _written_hundreds(pieces[at + 1 :]) or _below_thousand(pieces[at + 1 :])
    return None if head is None or tail is None else head * 1000 + tail


def _thousands_head(pieces: tuple[Piece, ...]) -> Decimal | None:
    if len(pieces) == 1 and pieces[0].kind is _K.WRITTEN and pieces[0].point is not None:
        only = pieces[0]
        return NumberReading(only.digits, only.point).value
    if any(p.kind is _K.HUNDRED for p in pieces):
        hundreds = _read_hundreds(pieces, 9)
        return None if hundreds is None else Decimal(hundreds)
    digits = grouped_digits(pieces)
    if not digits or digits[0] == "0" or len(digits) > 3:
        return None
    return Decimal(digits)


def _written_hundreds(pieces: tuple[Piece, ...]) -> int | None:
    """ "2 thousand 500", as a recogniser may write it."""
    if len(pieces) != 1 or pieces[0].kind is not _K.WRITTEN or pieces[0].point is not None:
        return None
    digits = pieces[0].digits
    return int(digits) if len(digits) == 3 and digits[0] != "0" else None


def _below_thousand(pieces: tuple[Piece, ...]) -> int | None:
    if not pieces:
        return 0
    if any(p.kind is _K.HUNDRED for p in pieces):
        return _read_hundreds(pieces, 9)
    return _below_hundred(pieces)


def _read_hundreds(pieces: tuple[Piece, ...], most: int) -> int | None:
    at = [i for i, p in enumerate(pieces) if p.kind is _K.HUNDRED]
    if len(at) != 1:
        return None
    alone = at[0] == 0 and most == _MOST_HUNDREDS
    head = "1" if alone else grouped_digits(pieces[: at[0]])
    tail = _below_hundred(pieces[at[0] + 1 :]) if pieces[at[0] + 1 :] else 0
    if not head or head[0] == "0" or int(head) > most or tail is None:
        return None
    if tail and head.endswith("0"):
        return None
    return int(head) * 100 + tail


def _below_hundred(pieces: tuple[Piece, ...]) -> int | None:
    kinds = tuple(p.kind for p in pieces)
    if kinds == (_K.TENS, _K.DIGIT) and pieces[1].digits != "0":
        return int(pieces[0].digits) + int(pieces[1].digits)
    if len(pieces) == 1 and kinds[0] in (_K.TENS, _K.TEEN, _K.DIGIT, _K.WRITTEN):
        only = pieces[0]
        plain = only.point is None and len(only.digits) <= 2 and only.digits.strip("0")
        return int(only.digits) if plain else None
    return None
