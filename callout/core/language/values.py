"""Whether a spoken number gives the expected value."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum

from callout.core.language import units
from callout.core.language.figures import fraction_of
from callout.core.language.numbers import NumberReading
from callout.core.language.tables import Tables
from callout.core.model.expectation import Value, ValueKind

_PADDED: Mapping[ValueKind, int] = {
    ValueKind.HEADING: 3,
    ValueKind.FLIGHT_LEVEL: 3,
    ValueKind.SPEED: 3,
    ValueKind.TEMPERATURE: 2,
    ValueKind.RUNWAY: 2,
    ValueKind.TIME: 4,
    ValueKind.TRANSPONDER: 4,
}
"""Kinds that are customarily spoken with leading zeros, and how many digits they have."""
_NAMED_BY_DIGITS = frozenset({ValueKind.NUMBER, ValueKind.TRANSPONDER})
"""Kinds in which "seven six hundred" is 7600; in others a "thousand" may have been lost."""
_FOUR_DIGITS = frozenset(
    {ValueKind.PRESSURE, ValueKind.TRANSPONDER, ValueKind.TIME, ValueKind.NUMBER}
)
"""Kinds whose four digits a recogniser may write in two pairs ("10.13")."""
_BY_SHAPE = frozenset({ValueKind.PRESSURE})
"""Kinds whose units differ so much in size that another allowed unit need not be said."""


_UNITS_BY_KIND: Mapping[ValueKind, frozenset[str]] = {
    ValueKind.HEADING: frozenset({"deg"}),
    ValueKind.FLIGHT_LEVEL: frozenset(),
    ValueKind.TRANSPONDER: frozenset(),
    ValueKind.RUNWAY: frozenset(),
    ValueKind.TIME: frozenset({"h"}),
    ValueKind.FREQUENCY: frozenset({"MHz"}),
    ValueKind.SPEED: frozenset({"kt", "mph", "km/h"}),
    ValueKind.ALTITUDE: frozenset({"ft", "m"}),
    ValueKind.PERCENT: frozenset({"percent"}),
    ValueKind.TEMPERATURE: frozenset({"deg", "degC", "degF"}),
}
"""Units that a number of a kind may be said with, if the list gives none."""


_SHIFTED = {("t", "kg"): 1000}
"""(said, listed): how many of one make the other. Only the point moves, so nothing else can be
meant.
"""
PLAIN_UNITS = frozenset({"deg", "units"})
"""Words allowed after any plain number of a list ("flaps five degrees")."""


class Fit(Enum):
    """How a reading compares with a value."""

    SAME = "same"
    OTHER = "other"
    WRONG_UNIT = "wrong-unit"
    UNIT_MISSING = "unit-missing"


def fit_value(value: Value, reading: NumberReading, unit: str | None, tables: Tables) -> Fit:
    """Compare ``reading``, said with ``unit`` (None: no unit said), with ``value``."""
    if unit is None:
        return _without_unit(value, reading, tables)
    own = units.likely_unit(value)
    if own is None and unit not in _fitting_units(value, unit):
        return Fit.WRONG_UNIT
    if own is None or unit == own or (unit, own) in units.SAME_UNIT:
        return Fit.SAME if same_number(value, reading) else Fit.OTHER
    if _unit_goes_without_saying(value, unit):
        return Fit.SAME if same_number(value, reading) else Fit.OTHER
    if (unit, own) in _SHIFTED:
        said = reading.value * _SHIFTED[unit, own]
        return Fit.SAME if abs(said - value.number) <= value.tolerance else Fit.OTHER
    if unit not in value.other_units:
        return Fit.WRONG_UNIT
    other = in_unit(value, unit, tables)
    return Fit.SAME if other and same_number(other, reading) else Fit.OTHER


def _fitting_units(value: Value, unit: str) -> frozenset[str]:
    if value.kind is ValueKind.NUMBER and abs(value.number) < 10:
        return PLAIN_UNITS
    return _UNITS_BY_KIND.get(value.kind, frozenset({unit}))


def _without_unit(value: Value, reading: NumberReading, tables: Tables) -> Fit:
    if same_number(value, reading):
        return Fit.UNIT_MISSING if value.unit_required else Fit.SAME
    if value.kind in _BY_SHAPE and not value.unit_required:
        for unit in value.other_units:
            other = in_unit(value, unit, tables)
            if other and same_number(other, reading):
                return Fit.SAME
    return Fit.OTHER


def _unit_goes_without_saying(value: Value, unit: str) -> bool:
    return unit == "deg" and value.kind in (ValueKind.HEADING, ValueKind.TEMPERATURE)


def in_unit(value: Value, unit: str, tables: Tables) -> Value | None:
    """Return ``value`` in another unit, with a tolerance for the rounding of both displays.

    1013 shows as 29.91 and 1013.25 as 29.92: either is right for a setting of 1013 hPa, because
    each rounds to the other within half a last digit.
    """
    own = value.unit or ""
    number = units.convert_unit(value.number, own, unit)
    half = units.smallest_step(own, tables) / 2 + value.tolerance
    upper = units.convert_unit(value.number + half, own, unit)
    if number is None or upper is None:
        return None
    step = units.smallest_step(unit, tables)
    play = abs(upper - number) + step / 2
    return Value(number, unit, play, value.kind, decimals=_decimal_places(step), name=value.name)


def _decimal_places(step: Decimal) -> int:
    return max(0, -int(step.as_tuple().exponent))


def same_number(value: Value, reading: NumberReading) -> bool:
    """True when the digits said are this value, within its tolerance, in a customary form."""
    if reading.clipped and (value.kind not in _NAMED_BY_DIGITS or reading.value % 100):
        return False
    if reading.headless and (value.kind is not ValueKind.PERCENT or reading.value != 100):
        return False
    if reading.separator and reading.separator != ".":
        return _odd_separator(value, reading)
    if _is_close(value, reading.value) and _digits_right(value, reading):
        return True
    if reading.point is None and not reading.scaled and implied_point(value) is not None:
        if value.kind is ValueKind.FREQUENCY and not (reading.written or reading.first == 1):
            return False
        return _without_point(value, reading)
    return _odd_separator(value, reading)


def _is_close(value: Value, number: Decimal) -> bool:
    due = value.number
    if value.decimals is not None:
        due = due.quantize(Decimal(1).scaleb(-value.decimals), ROUND_HALF_UP)
    if (number < 0) != (due < 0) and number != due:
        return False
    return abs(number - due) <= value.tolerance


def _digits_right(value: Value, reading: NumberReading) -> bool:
    whole = reading.whole
    if not _fraction_right(value, reading):
        return False
    if value.digits is not None:
        return len(whole) == value.digits or _customary_short(value, reading)
    if len(whole) > 1 and whole.startswith("0"):
        return len(whole) <= _PADDED.get(value.kind, 0) and abs(value.number) >= 1
    return True


def _fraction_right(value: Value, reading: NumberReading) -> bool:
    """Allow no more decimals than are shown; a setting in inches needs all of them."""
    said = 0 if reading.point is None else len(reading.digits) - reading.point
    due = len(fraction_of(value))
    if value.kind is ValueKind.FREQUENCY:
        return said <= max(3, due)
    if value.kind is ValueKind.PRESSURE and said:
        return said == due
    return said <= due or reading.written


def _customary_short(value: Value, reading: NumberReading) -> bool:
    """Flight levels below 100 are also said with two digits."""
    return value.kind is ValueKind.FLIGHT_LEVEL and len(reading.whole) == 2


def implied_point(value: Value) -> int | None:
    """Return how many digits precede an unspoken decimal point, or None if the point must be said.

    Altimeter settings are spoken with no decimal word (FAA JO 7110.65, 2-4-17). Crews leave it out
    of frequencies too ("one eighteen seven"; common practice): three digits stand before it.
    """
    if value.kind is ValueKind.PRESSURE and value.number < 100:
        return 2
    if value.kind is ValueKind.FREQUENCY and 100 <= value.number < 1000:
        return 3
    return None


def _without_point(value: Value, reading: NumberReading) -> bool:
    at = implied_point(value)
    places = 2 if value.kind is ValueKind.PRESSURE else 3
    if at is None or not at < len(reading.digits) <= at + places:
        return False
    if value.kind is ValueKind.PRESSURE and len(reading.digits) != at + places:
        return False
    number = Decimal(f"{reading.digits[:at]}.{reading.digits[at:]}")
    return not reading.negative and _is_close(value, number)


def _odd_separator(value: Value, reading: NumberReading) -> bool:
    """Recognise "10.13" or "10:13" written for "ten thirteen", and "29,92" for 29.92."""
    if value.kind is ValueKind.TIME and reading.separator == ":":
        return reading.digits.lstrip("0") == str(value.number)
    if not reading.separator or reading.negative or reading.point != 2 or len(reading.digits) != 4:
        return False
    plain = NumberReading(reading.digits)
    whole = implied_point(value) is None and value.number == value.number.to_integral_value()
    four = whole and value.kind in _FOUR_DIGITS
    if four:
        return _is_close(value, plain.value) and _digits_right(value, plain)
    return reading.separator != "." and implied_point(value) == 2 and _without_point(value, plain)
