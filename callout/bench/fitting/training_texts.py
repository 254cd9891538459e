"""What synthetic voices say when the phone reading is trained: replies, numbers, other words."""

from __future__ import annotations

import random

REPLY_WORDS = (
    "on", "off", "open", "closed", "armed", "disarmed", "up", "down", "left", "right", "both",
    "set", "checked", "locked", "unlocked", "normal", "alternate", "auto", "manual", "in",
    "out", "extended", "retracted", "high", "low", "forward", "aft", "idle", "cutoff",
    "neutral", "free", "correct", "removed", "stowed", "secure", "started", "running", "green",
    "lights", "flaps", "gear", "brake", "parking", "fuel", "pump", "mixture", "rich", "lean",
    "throttle", "propeller", "heat", "cold", "magnetos", "battery", "alternator", "beacon",
    "strobes", "transponder", "altimeter", "heading", "pressure", "trim", "takeoff", "tested",
    "complete", "confirmed", "available", "required", "tanks", "crossfeed", "boost", "primer",
    "doors", "belts", "fastened", "briefed", "received", "clear", "standby", "engine", "start",
    "master", "avionics", "radios", "instruments", "controls", "oil", "temperature", "airspeed",
    "alive", "yes", "no", "stop", "go",
)  # fmt: skip
DIGITS = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
)  # fmt: skip
TENS = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
    "eighteen", "nineteen", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty",
    "ninety", "hundred", "thousand",
)  # fmt: skip


UNITS = (
    "feet", "knots", "degrees", "percent", "litres", "gallons", "pounds", "kilos", "volts", "amps",
    "minutes", "quarts", "inches", "hectopascals", "seconds", "miles", "tonnes",
)  # fmt: skip


def measured_number(chance: random.Random) -> str:
    """Return a number in one of the ways it is said, with a unit."""
    ways = (
        chance.choices(DIGITS, k=chance.randint(1, 4)),
        [chance.choice(TENS[10:18]), chance.choice(DIGITS[1:])],
        [chance.choice(DIGITS[1:]), chance.choice(("hundred", "thousand"))],
        [chance.choice(DIGITS[1:]), "thousand", chance.choice(DIGITS[1:]), "hundred"],
        [chance.choice(DIGITS[1:]), "hundred", chance.choice(TENS[:18])],
        [chance.choice(TENS[:18])],
    )
    return _joined([*chance.choice(ways), chance.choice(UNITS)])


def training_sentence(
    chance: random.Random, commands: tuple[str, ...], common: tuple[str, ...]
) -> str:
    """Return one text: about a third numbers, a third replies, the rest other words."""
    pick = chance.random()
    if pick < 0.18:
        return chance.choice(REPLY_WORDS + DIGITS + TENS)
    if pick < 0.30:
        return chance.choice(common)
    if pick < 0.36:
        return measured_number(chance)
    if pick < 0.44:
        return _joined(chance.choices(DIGITS, k=chance.randint(2, 5)))
    if pick < 0.50:
        ending = chance.choices(DIGITS, k=chance.randint(0, 2))
        return _joined([chance.choice(TENS), chance.choice(TENS + DIGITS), *ending])
    if pick < 0.56:
        point = chance.choice(("decimal", "point"))
        after = chance.choices(DIGITS, k=chance.randint(1, 3))
        return _joined([*chance.choices(DIGITS, k=3), point, *after])
    if pick < 0.74:
        return _joined(chance.choices(REPLY_WORDS, k=chance.randint(2, 4)))
    if pick < 0.82:
        numbers = chance.choices(DIGITS + TENS, k=chance.randint(1, 2))
        return _joined([chance.choice(REPLY_WORDS), *numbers])
    if pick < 0.88:
        return chance.choice(commands)
    return _joined(chance.choices(common, k=chance.randint(2, 6)))


def _joined(words: list[str]) -> str:
    return " ".join(words)
