"""The digits of a value as shown to a person and as they must be spoken."""

from __future__ import annotations

from callout.core.model.expectation import Value


def digits_of(value: Value) -> str:
    """Return the digits that must be spoken: leading zeros kept, no point."""
    number = abs(value.number)
    text = (
        format(number, f".{value.decimals}f") if value.decimals is not None else format(number, "f")
    )
    whole, _, fraction = text.partition(".")
    if value.digits is not None:
        whole = whole.zfill(value.digits)
    return whole + fraction


def shown_number(value: Value) -> str:
    """Return the number as written for a person, with its point."""
    digits = digits_of(value)
    whole = len(digits) - len(fraction_of(value))
    sign = "-" if value.number < 0 else ""
    return sign + (f"{digits[:whole]}.{digits[whole:]}" if whole < len(digits) else digits)


def fraction_of(value: Value) -> str:
    """Return the digits after the point, as shown."""
    number = abs(value.number)
    text = (
        format(number, f".{value.decimals}f") if value.decimals is not None else format(number, "f")
    )
    return text.partition(".")[2]
