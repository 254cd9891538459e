"""Which digit was wrong: the difference between the number heard and the number expected."""

from __future__ import annotations

from decimal import Decimal

from callout.core.language.figures import digits_of, fraction_of, shown_number
from callout.core.language.numbers import NumberReading
from callout.core.language.reasons import Reason
from callout.core.language.values import implied_point
from callout.core.model.expectation import Value, ValueKind

_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def heard_number(reading: NumberReading, value: Value) -> str:
    """Return the number heard as written, with the decimal point that the value implies."""
    digits, point = reading.digits, reading.point
    implied = implied_point(value)
    if point is None and implied and len(digits) > implied and not reading.scaled:
        point = implied
    text = digits if point is None else f"{digits[:point] or '0'}.{digits[point:]}"
    return ("-" if reading.negative else "") + text


def digit_difference(value: Value, reading: NumberReading) -> tuple[Reason, str]:
    """Return the code and the core of a sentence for a number that is not the expected one."""
    due, heard = digits_of(value), reading.digits
    whole = f"heard {heard_number(reading, value)}, expected {shown_number(value)}"
    if reading.negative != (value.number < 0) and abs(reading.value) == abs(value.number):
        return Reason.WRONG_SIGN, f"{'minus' if reading.negative else 'no minus'} was said: {whole}"
    if value.kind is ValueKind.FREQUENCY or reading.point is not None:
        due, heard = _padded_difference(due, heard, value, reading)
    found = _digit_edit(due, heard)
    if found is None:
        return Reason.WRONG_NUMBER, whole
    code, detail = found
    return code, f"{detail}: {whole}" if code is not Reason.DIGIT_CHANGED else detail


def _padded_difference(
    due: str, heard: str, value: Value, reading: NumberReading
) -> tuple[str, str]:
    """Align the digits at the decimal point by padding the shorter fraction with zeros."""
    places = len(fraction_of(value))
    point = reading.point if reading.point is not None else implied_point(value)
    if point is None:
        return due, heard
    had = len(heard) - point
    if 0 <= had < places and Decimal(heard or 0) != 0:
        trimmed = due.rstrip("0")
        return (trimmed, heard) if len(trimmed) >= len(heard) else (due, heard.ljust(len(due), "0"))
    return due, heard


def _digit_edit(due: str, heard: str) -> tuple[Reason, str] | None:
    if len(due) == len(heard):
        return _same_length(due, heard)
    if len(heard) == len(due) - 1 and len(due) > 1:
        for i in range(len(due)):
            if due[:i] + due[i + 1 :] == heard:
                return Reason.DIGIT_DROPPED, f"the {_ordinal_word(i)} digit, {due[i]}, is missing"
    if len(heard) == len(due) + 1:
        for i in range(len(heard)):
            if heard[:i] + heard[i + 1 :] == due:
                twice = i + 1 < len(heard) and heard[i + 1] == heard[i]
                what = f"{heard[i]} was said twice" if twice else f"an extra {heard[i]} was said"
                return Reason.DIGIT_ADDED, what
    return None


def _same_length(due: str, heard: str) -> tuple[Reason, str] | None:
    wrong = [i for i in range(len(due)) if due[i] != heard[i]]
    if len(wrong) == 1:
        i = wrong[0]
        return (
            Reason.DIGIT_CHANGED,
            f"{_ordinal_word(i)} digit: heard {heard[i]}, expected {due[i]}",
        )
    if len(wrong) == 2 and wrong[1] == wrong[0] + 1:
        i, j = wrong
        if due[i] == heard[j] and due[j] == heard[i]:
            return (
                Reason.DIGITS_SWAPPED,
                f"the {_ordinal_word(i)} and {_ordinal_word(j)} digits are swapped",
            )
    return None


def _ordinal_word(i: int) -> str:
    return _NTH[i] if i < len(_NTH) else f"{i + 1}th"
