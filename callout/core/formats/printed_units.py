"""Units of measure as cards print them, and how a list writes them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

UNITS: Final[Mapping[str, tuple[str, str]]] = {
    "hpa": ("pressure", "hPa"), "mb": ("pressure", "hPa"), "mbar": ("pressure", "hPa"),
    "inhg": ("pressure", "inHg"), "in hg": ("pressure", "inHg"), "in.hg": ("pressure", "inHg"),
    "mmhg": ("pressure", "mmHg"), "psi": ("pressure", "psi"), "psig": ("pressure", "psi"),
    "lb/sq in": ("pressure", "psi"), "lb/in\u00b2": ("pressure", "psi"),
    "lbs/sq in": ("pressure", "psi"), "bar": ("number", "bar"), "bars": ("number", "bar"),
    "kpa": ("number", "kPa"), "mpa": ("number", ""), "pa": ("number", ""),
    "kp/cm\u00b2": ("number", ""), "atm": ("number", ""), "kg/cm\u00b2": ("number", ""),
    "kt": ("speed", "kt"), "kts": ("speed", "kt"), "knots": ("speed", "kt"), "kn": ("speed", "kt"),
    "kias": ("speed", "kt"), "ktas": ("speed", "kt"), "kcas": ("speed", "kt"),
    "mph": ("speed", "mph"), "m.p.h.": ("speed", "mph"), "km/h": ("speed", "km/h"),
    "kmh": ("speed", "km/h"), "kph": ("speed", "km/h"), "m/s": ("number", "m/s"),
    "ft/s": ("number", "ft/s"), "fps": ("number", "ft/s"), "ft": ("altitude", "ft"),
    "feet": ("altitude", "ft"), "ft amsl": ("altitude", "ft"), "ft agl": ("altitude", "ft"),
    "ft aal": ("altitude", "ft"), "m": ("number", "m"), "metres": ("number", "m"),
    "meters": ("number", "m"), "km": ("number", "km"), "cm": ("number", ""), "mm": ("number", ""),
    "nm": ("number", "NM"), "nmi": ("number", "NM"), "kg": ("mass", "kg"), "kgs": ("mass", "kg"),
    "kilos": ("mass", "kg"), "lb": ("mass", "lb"), "lbs": ("mass", "lb"), "pounds": ("mass", "lb"),
    "tonnes": ("mass", "t"), "tons": ("mass", "t"), "t": ("mass", "t"), "grams": ("number", ""),
    "l": ("volume", "L"), "ltr": ("volume", "L"), "ltrs": ("volume", "L"),
    "litre": ("volume", "L"), "liter": ("volume", "L"), "litres": ("volume", "L"),
    "liters": ("volume", "L"), "ml": ("number", ""), "cl": ("number", ""),
    "us gal": ("volume", "gal"), "us gals": ("volume", "gal"), "us gallons": ("volume", "gal"),
    "gal": ("volume", "gal"), "gals": ("volume", "gal"), "gall": ("volume", "gal"),
    "galls": ("volume", "gal"), "usg": ("volume", "gal"), "gallons": ("volume", "gal"),
    "imp gal": ("number", ""), "imp gals": ("number", ""), "imperial gallons": ("number", ""),
    "pints": ("number", ""), "qt": ("volume", "qt"), "qts": ("volume", "qt"),
    "quarts": ("volume", "qt"), "%": ("percent", "percent"), "percent": ("percent", "percent"),
    "per cent": ("percent", "percent"), "pct": ("percent", "percent"),
    "\u00b0c": ("temperature", "degC"), "\u00b0 c": ("temperature", "degC"),
    "\u00bac": ("temperature", "degC"), "\u00b0f": ("temperature", "degF"),
    "\u00b0 f": ("temperature", "degF"), "deg c": ("temperature", "degC"),
    "deg f": ("temperature", "degF"), "degc": ("temperature", "degC"),
    "degf": ("temperature", "degF"), "degrees c": ("temperature", "degC"),
    "degrees celsius": ("temperature", "degC"), "\u00b0": ("heading", ""), "deg": ("heading", ""),
    "degrees": ("number", "deg"), "\u00b0m": ("heading", ""), "\u00b0t": ("heading", ""),
    "mhz": ("frequency", "MHz"), "khz": ("frequency", "kHz"), "hz": ("number", ""),
    "rpm": ("number", "rpm"), "r.p.m.": ("number", "rpm"), "r/min": ("number", "rpm"),
    "rev/min": ("number", "rpm"), "1/min": ("number", "rpm"), "u/min": ("number", "rpm"),
    "fpm": ("number", "fpm"), "ft/min": ("number", "fpm"), "volts": ("number", "V"),
    "volt": ("number", "V"), "v": ("number", "V"), "vdc": ("number", "V"), "vac": ("number", "V"),
    "mv": ("number", ""), "amps": ("number", "A"), "amp": ("number", "A"),
    "amperes": ("number", "A"), "ma": ("number", ""), "ah": ("number", ""), "kwh": ("number", ""),
    "kw": ("number", ""), "watts": ("number", ""), "hp": ("number", ""), "shp": ("number", ""),
    "lb ft": ("number", ""), "ft lb": ("number", ""), "ft-lb": ("number", ""),
    "lb-ft": ("number", ""), "gb": ("number", ""), "strokes": ("number", ""),
    "% tq": ("percent", "percent"), "% torque": ("percent", "percent"),
    "%tq": ("percent", "percent"), "% n1": ("percent", "percent"),
    "% n2": ("percent", "percent"), "% ng": ("percent", "percent"), "% nr": ("percent", "percent"),
    "% np": ("percent", "percent"), "% rpm": ("percent", "percent"),
    "lbft": ("number", ""), "ftlb": ("number", ""),
    "gph": ("number", "gal/h"), "usg/h": ("number", "gal/h"), "gal/h": ("number", "gal/h"),
    "usg/hr": ("number", "gal/h"), "gal/hr": ("number", "gal/h"), "l/h": ("number", "L/h"),
    "l/hr": ("number", "L/h"), "l/min": ("number", "L/min"), "litres/h": ("number", "L/h"),
    "lph": ("number", "L/h"), "kg/h": ("number", "kg/h"), "kg/hr": ("number", "kg/h"),
    "lb/h": ("number", "lb/h"), "lb/hr": ("number", "lb/h"), "lbs/hr": ("number", "lb/h"),
    "pph": ("number", "lb/h"), "kg/min": ("number", "kg/min"), "kg/l": ("number", "kg/L"),
    "h": ("number", "h"), "hr": ("number", "h"), "hrs": ("number", "h"), "hours": ("number", "h"),
    "min": ("number", "min"), "mins": ("number", "min"), "minutes": ("number", "min"),
    "s": ("number", "s"), "sec": ("number", "s"), "secs": ("number", "s"),
    "seconds": ("number", "s"), "units": ("number", "units"), "g": ("number", "g"),
    "utc": ("time", ""), "z": ("time", ""), "lt": ("time", ""), "zulu": ("time", ""),
}  # fmt: skip
"""Unit as printed, in small letters -> kind of number, unit as a list writes it; empty: the list
says the number alone. ICAO Annex 5, tables 3-3 and 3-4, and the symbols of UCUM (the Unified Code
for Units of Measure) for what an aircraft shows: pressure, length, mass, volume, flow, temperature,
speed, electricity, frequency, time; from memory. Other spellings: common practice.
"""
SHORT: Final = frozenset({
    "l", "t", "v", "z", "h", "min", "deg", "units", "m", "%", "s", "g", "kn", "pa", "ma", "lt",
    "hr", "sec", "a", "ah",
})  # fmt: skip
"""Units that, alone, may be a position instead: "L", "MIN"."""
