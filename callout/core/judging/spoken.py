"""The ways a crew says an answer, and the ways a recogniser writes its numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from itertools import product

from callout.core.expectation import Answer, Part, Value, ValueKind
from callout.core.judging.digits import digits_of
from callout.core.judging.tables import Tables
from callout.core.judging.values import implied_point

_K = ValueKind
_ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def spoken_forms(answer: Answer, tables: Tables, limit: int = 24) -> tuple[str, ...]:
    """Return lower-case, digit-free ways to say ``answer``, most usual first, at most ``limit``."""
    choices = [_part_forms(part, tables) for part in answer.parts]
    ranked = sorted(
        product(*(tuple(enumerate(c)) for c in choices)), key=lambda combo: sum(r for r, _ in combo)
    )
    forms = (" ".join(text for _, text in combo if text) for combo in ranked)
    return tuple(dict.fromkeys(f for f in forms if f))[:limit]


def _part_forms(part: Part, tables: Tables) -> tuple[str, ...]:
    if isinstance(part, Value):
        return value_forms(part, tables)[:24]
    return (_say_words(part.text, tables),)


def _say_words(text: str, tables: Tables) -> str:
    out = []
    for token in re.findall(r"[A-Za-z']+|[0-9]", text):
        lower = token.lower()
        if token.isdigit():
            out.append(_ONES[int(token)])
        elif lower in tables.acronyms:
            out.extend(lower)
        else:
            out.append(lower)
    return " ".join(out)


def value_forms(value: Value, tables: Tables) -> tuple[str, ...]:
    """Return ways to say one value, most usual first."""
    bare = tuple(dict.fromkeys(_bare_forms(value, tables)))
    sign = _sign(value)
    bare = tuple(f"{sign}{form}" for form in bare)
    return tuple(dict.fromkeys(_with_names(value, bare, tables)))


def _sign(value: Value) -> str:
    return "minus " if value.number < 0 else ""


def _with_names(value: Value, bare: tuple[str, ...], tables: Tables) -> Iterable[str]:
    if value.kind is _K.FLIGHT_LEVEL:
        for form in bare:
            yield f"flight level {form}"
        yield from bare
        return
    if value.unit == "mach":
        for form in bare:
            yield f"mach {form}"
        yield from bare
        return
    known = tables.units.get(value.unit or "")
    unit = known.says if known else ""
    if not unit:
        yield from bare
        return
    usual = value.kind not in (_K.PRESSURE, _K.FREQUENCY, _K.HEADING) or value.unit_required
    for form in bare:
        both = (f"{form} {unit}", form) if usual else (form, f"{form} {unit}")
        yield from both if not value.unit_required else both[:1]
    if value.kind is _K.TEMPERATURE:
        yield from (f"{form} degrees" for form in bare)


def _bare_forms(value: Value, tables: Tables) -> Iterable[str]:
    digits = digits_of(value)
    fraction = len(digits) - _whole_length(value, digits)
    makers: dict[ValueKind, Callable[[str, int], Iterable[str]]] = {
        _K.PRESSURE: _pressure, _K.FREQUENCY: _frequency, _K.ALTITUDE: _altitude,
        _K.FLIGHT_LEVEL: _level, _K.TRANSPONDER: _code, _K.HEADING: _digits_only,
        _K.RUNWAY: _digits_only, _K.TIME: _code,
    }  # fmt: skip
    if value.digits is not None and value.kind is _K.NUMBER:
        yield from _digits_only(digits, fraction)
        return
    yield from makers.get(value.kind, _plain)(digits, fraction)


def _whole_length(value: Value, digits: str) -> int:
    if value.decimals:
        return len(digits) - value.decimals
    return len(digits) - len(format(abs(value.number), "f").partition(".")[2])


def one_by_one(digits: str, niner: bool = False) -> str:
    """Return digits said one by one; with ``niner``, 9 in the ICAO way."""
    return " ".join("niner" if niner and d == "9" else _ONES[int(d)] for d in digits)


_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
          "eighteen", "nineteen")  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


def pair(two: str) -> str:
    """Return two digits in group form: "10" ten, "05" oh five, "90" ninety."""
    if len(two) != 2:
        return one_by_one(two)
    if two[0] == "0":
        return "oh " + _ONES[int(two[1])] if two[1] != "0" else "double zero"
    if two[0] == "1":
        return _TEENS[int(two[1])]
    return _TENS[int(two[0])] + ("" if two[1] == "0" else " " + _ONES[int(two[1])])


def cardinal(number: int) -> str:
    """Return a whole number below a million in everyday words."""
    if number < 10:
        return _ONES[number]
    if number < 100:
        return pair(f"{number:02d}")
    if number < 1000:
        head, rest = divmod(number, 100)
        return f"{_ONES[head]} hundred" + (f" {cardinal(rest)}" if rest else "")
    head, rest = divmod(number, 1000)
    return f"{cardinal(head)} thousand" + (f" {cardinal(rest)}" if rest else "")


def _digit_forms(digits: str) -> Iterable[str]:
    yield one_by_one(digits)
    if "9" in digits:
        yield one_by_one(digits, niner=True)
    if "0" in digits[1:]:
        yield one_by_one(digits).replace("zero", "oh")


def _pointed(digits: str, fraction: int) -> Iterable[str]:
    whole, rest = digits[:-fraction], digits[-fraction:]
    for word in ("decimal", "point"):
        yield f"{one_by_one(whole)} {word} {one_by_one(rest)}"
        if "9" in digits:
            yield f"{one_by_one(whole, True)} {word} {one_by_one(rest, True)}"
    if whole[0] != "0":
        yield f"{cardinal(int(whole))} point {one_by_one(rest)}"


def _digits_only(digits: str, fraction: int) -> Iterable[str]:
    yield from _pointed(digits, fraction) if fraction else _digit_forms(digits)


def _plain(digits: str, fraction: int) -> Iterable[str]:
    if fraction:
        yield from _pointed(digits, fraction)
        if digits[:-fraction] == "0":
            yield f"point {one_by_one(digits[-fraction:])}"
        return
    if digits[0] == "0" and len(digits) > 1:
        yield from _digit_forms(digits)
        return
    if len(digits) < 7:
        yield cardinal(int(digits))
    if len(digits) > 1:
        yield from _digit_forms(digits)
    elif digits == "9":
        yield "niner"
    if len(digits) == 3 and digits[1:] != "00":
        yield f"{_ONES[int(digits[0])]} {pair(digits[1:])}"
    if len(digits) == 4:
        yield from _hundreds(digits)


def _hundreds(digits: str) -> Iterable[str]:
    if digits.endswith("00") and digits[1] != "0":
        yield f"{pair(digits[:2])} hundred"


def _pressure(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    whole = digits[:-fraction] if fraction else digits
    if len(digits) == 4 and (fraction == 2 or digits[2:] != "00"):
        yield f"{pair(digits[:2])} {pair(digits[2:])}"
    elif len(digits) == 4:
        yield cardinal(int(digits))
    if len(digits) == 3 and not fraction:
        yield _hundred_and(digits)
    if fraction:
        yield from _pointed(digits, fraction)
    if fraction == 2 and len(whole) == 2:
        yield f"{pair(whole)} point {pair(digits[2:])}"


def _hundred_and(digits: str) -> str:
    """Return three digits in group form: "998" nine ninety eight, "900" nine hundred."""
    return _ONES[int(digits[0])] + (" hundred" if digits[1:] == "00" else f" {pair(digits[1:])}")


def _frequency(digits: str, fraction: int) -> Iterable[str]:
    if not fraction:
        yield from _digit_forms(digits)
        return
    yield from _pointed(digits, fraction)
    short = digits.rstrip("0")
    least = len(digits) - fraction + 1
    short = short.ljust(least, "0")
    if short != digits:
        yield from _pointed(short, len(short) - (len(digits) - fraction))


def _altitude(digits: str, fraction: int) -> Iterable[str]:
    number = int(digits)
    thousands, rest = divmod(number, 1000)
    if thousands and rest % 100 == 0:
        tail = f" {_ONES[rest // 100]} hundred" if rest else ""
        yield f"{one_by_one(str(thousands))} thousand{tail}"
        if "9" in str(thousands):
            yield f"{one_by_one(str(thousands), True)} thousand{tail}"
    yield from _plain(digits, fraction)


def _level(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    if digits.endswith("00"):
        yield f"{one_by_one(digits[:-2])} hundred"


def _code(digits: str, fraction: int) -> Iterable[str]:
    yield from _digit_forms(digits)
    if digits.endswith("000") and digits[0] != "0":
        yield f"{_ONES[int(digits[0])]} thousand"
    if len(digits) == 4 and digits[2:] != "00":
        yield f"{pair(digits[:2])} {pair(digits[2:])}"


_FOUR_GROUPED = (_K.PRESSURE, _K.TRANSPONDER, _K.TIME, _K.NUMBER)
"""Kinds whose four digits a recogniser may print with a mark between the pairs ("10.13")."""


def written_forms(value: Value) -> tuple[str, ...]:
    """Return digit-written variants a speech-to-text model prints ("1013", "10 13", "1 0 1 3")."""
    digits = digits_of(value)
    whole = _whole_length(value, digits)
    sign = "-" if value.number < 0 else ""
    out = [digits if whole == len(digits) else f"{digits[:whole]}.{digits[whole:]}"]
    if whole < len(digits):
        out += [
            f"{digits[:whole]} point {digits[whole:]}",
            f"{digits[:whole]} decimal {digits[whole:]}",
        ]
    if len(digits) > 1 and (whole == len(digits) or implied_point(value)):
        out += [digits, " ".join(digits)]
    if len(digits) == 4 and value.kind in _FOUR_GROUPED and whole in (2, 4):
        pairs = (digits[:2], digits[2:])
        out += [mark.join(pairs) for mark in " .:" if whole == 4 or implied_point(value)]
    if whole == len(digits) and whole > 3 and digits[0] != "0":
        out.append(f"{int(digits):,}")
    return tuple(dict.fromkeys(sign + form for form in out))
