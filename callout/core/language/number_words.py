"""Numbers in words: digit by digit, in groups, and the forms of each kind of value.

Forms after ICAO Annex 10 Vol II 5.2.1.4, FAA AIM 4-2-8 to 4-2-11, FAA Order JO 7110.65 2-4-17/18
and UK CAP 413; the list of each kind is in order of use (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from callout.core.language.figures import digits_of, fraction_of
from callout.core.model.expectation import Value, ValueKind

_ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def one_by_one(digits: str, niner: bool = False) -> str:
    """Return digits said one by one; with ``niner``, 9 in the ICAO way."""
    return " ".join("niner" if niner and d == "9" else _ONES[int(d)] for d in digits)


_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
          "eighteen", "nineteen")  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

NUMBER_WORDS = frozenset((
    *_ONES, *_TEENS, *_TENS[2:], "niner", "oh", "hundred", "thousand", "decimal", "point", "double",
))  # fmt: skip
"""Words of the forms here: after any of them a number may go on."""


def pair_words(two: str) -> str:
    """Return two digits in group form: "10" ten, "05" oh five, "90" ninety."""
    if len(two) != 2:
        return one_by_one(two)
    if two[0] == "0":
        return "oh " + _ONES[int(two[1])] if two[1] != "0" else "double zero"
    if two[0] == "1":
        return _TEENS[int(two[1])]
    return _TENS[int(two[0])] + ("" if two[1] == "0" else " " + _ONES[int(two[1])])


def cardinal_words(number: int) -> str:
    """Return a whole number below a million in everyday words."""
    if number < 10:
        return _ONES[number]
    if number < 100:
        return pair_words(f"{number:02d}")
    if number < 1000:
        head, rest = divmod(number, 100)
        return f"{_ONES[head]} hundred" + (f" {cardinal_words(rest)}" if rest else "")
    head, rest = divmod(number, 1000)
    return f"{cardinal_words(head)} thousand" + (f" {cardinal_words(rest)}" if rest else "")


def _digit_forms(digits: str) -> Iterable[str]:
    yield one_by_one(digits)
    if "9" in digits:
        yield one_by_one(digits, niner=True)
    if "0" in digits[1:]:
        yield one_by_one(digits).replace("zero", "oh")


def _pointed_words(digits: str, fraction: int) -> Iterable[str]:
    whole, rest = digits[:-fraction], digits[-fraction:]
    for word in ("decimal", "point"):
        yield f"{one_by_one(whole)} {word} {one_by_one(rest)}"
        if "9" in digits:
            yield f"{one_by_one(whole, True)} {word} {one_by_one(rest, True)}"
    if whole[0] != "0":
        yield f"{cardinal_words(int(whole))} point {one_by_one(rest)}"


def _digits_only(digits: str, fraction: int) -> Iterable[str]:
    yield from _pointed_words(digits, fraction) if fraction else _digit_forms(digits)


def _plain_words(digits: str, fraction: int) -> Iterable[str]:
    if fraction:
        yield from _pointed_words(digits, fraction)
        if digits[:-fraction] == "0":
            yield f"point {one_by_one(digits[-fraction:])}"
        return
    if digits[0] == "0" and len(digits) > 1:
        yield from _digit_forms(digits)
        return
    if len(digits) < 7:
        yield cardinal_words(int(digits))
    if len(digits) > 1:
        yield from _digit_forms(digits)
    elif digits == "9":
        yield "niner"
    if len(digits) == 3 and digits[1:] != "00":
        yield f"{_ONES[int(digits[0])]} {pair_words(digits[1:])}"
    if len(digits) == 4:
        yield from _hundreds_words(digits)


def _hundreds_words(digits: str) -> Iterable[str]:
    if digits.endswith("00") and digits[1] != "0":
        yield f"{pair_words(digits[:2])} hundred"


def _pressure_words(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    whole = digits[:-fraction] if fraction else digits
    if len(digits) == 4 and (fraction == 2 or digits[2:] != "00"):
        yield f"{pair_words(digits[:2])} {pair_words(digits[2:])}"
    elif len(digits) == 4:
        yield cardinal_words(int(digits))
    if len(digits) == 3 and not fraction:
        yield _hundred_and(digits)
    if fraction:
        yield from _pointed_words(digits, fraction)
    if fraction == 2 and len(whole) == 2:
        yield f"{pair_words(whole)} point {pair_words(digits[2:])}"


def _hundred_and(digits: str) -> str:
    """Return three digits in group form: "998" nine ninety eight, "900" nine hundred."""
    return _ONES[int(digits[0])] + (
        " hundred" if digits[1:] == "00" else f" {pair_words(digits[1:])}"
    )


def _frequency_words(digits: str, fraction: int) -> Iterable[str]:
    if not fraction:
        yield from _digit_forms(digits)
        return
    yield from _pointed_words(digits, fraction)
    short = digits.rstrip("0")
    least = len(digits) - fraction + 1
    short = short.ljust(least, "0")
    if short != digits:
        yield from _pointed_words(short, len(short) - (len(digits) - fraction))


def _altitude_words(digits: str, fraction: int) -> Iterable[str]:
    number = int(digits)
    thousands, rest = divmod(number, 1000)
    if thousands and rest % 100 == 0:
        tail = f" {_ONES[rest // 100]} hundred" if rest else ""
        yield f"{one_by_one(str(thousands))} thousand{tail}"
        if "9" in str(thousands):
            yield f"{one_by_one(str(thousands), True)} thousand{tail}"
    yield from _plain_words(digits, fraction)


def _level_words(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    if digits.endswith("00"):
        yield f"{one_by_one(digits[:-2])} hundred"


def _code_words(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    if digits.endswith("000") and digits[0] != "0":
        yield f"{_ONES[int(digits[0])]} thousand"
    if len(digits) == 4 and digits[2:] != "00":
        yield f"{pair_words(digits[:2])} {pair_words(digits[2:])}"


_MAKERS: Mapping[ValueKind, Callable[[str, int], Iterable[str]]] = {
    ValueKind.PRESSURE: _pressure_words,
    ValueKind.FREQUENCY: _frequency_words,
    ValueKind.ALTITUDE: _altitude_words,
    ValueKind.FLIGHT_LEVEL: _level_words,
    ValueKind.TRANSPONDER: _code_words,
    ValueKind.HEADING: _digits_only,
    ValueKind.RUNWAY: _digits_only,
    ValueKind.TIME: _code_words,
}


def number_forms(value: Value) -> tuple[str, ...]:
    """Return the ways to say the number of ``value`` without sign or unit, most usual first."""
    digits, fraction = digits_of(value), len(fraction_of(value))
    maker = _MAKERS.get(value.kind, _plain_words)
    if value.digits is not None and value.kind is ValueKind.NUMBER:
        maker = _digits_only
    return tuple(dict.fromkeys(maker(digits, fraction)))
