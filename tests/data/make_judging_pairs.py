"""Builds judging_pairs.jsonl: labelled replies from rules and from the hand-written file.

The rules here know nothing of the judge: digits, groups and opposites are written out again, so
that a slip there does not hide itself. Run ``python tests/data/make_judging_pairs.py``.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from num2words import num2words

HERE = Path(__file__).parent
Pair = dict[str, Any]
LABELS = {"m": "match", "x": "mismatch", "u": "unclear", "n": "refuse"}

# Pronunciations: ICAO Annex 10 Vol II 5.2.1.4.3, as tabled in CAP 413 chapter 2.
PLAIN = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
ICAO = ["zero", "wun", "too", "tree", "fower", "fife", "six", "seven", "ait", "niner"]
NINER = [*PLAIN[:9], "niner"]

OPPOSITES = [
    ("on", "off"), ("open", "closed"), ("armed", "disarmed"), ("up", "down"), ("left", "right"),
    ("locked", "unlocked"), ("idle", "cutoff"), ("in", "out"), ("normal", "alternate"),
    ("auto", "manual"), ("extended", "retracted"), ("set", "not set"), ("high", "low"),
    ("forward", "aft"), ("engaged", "disengaged"), ("connected", "disconnected"),
    ("active", "inactive"), ("latched", "unlatched"), ("fastened", "unfastened"),
    ("rich", "lean"), ("hot", "cold"), ("full", "empty"), ("released", "set"),
    ("enabled", "disabled"), ("complete", "incomplete"), ("stowed", "deployed"),
    ("feathered", "unfeathered"), ("inserted", "removed"), ("secure", "not secure"),
    ("bright", "dim"), ("internal", "external"), ("covered", "uncovered"), ("valid", "invalid"),
    ("operative", "inoperative"), ("pressurised", "depressurised"), ("energised", "deenergised"),
    ("serviceable", "unserviceable"), ("aligned", "misaligned"), ("day", "night"),
    ("flight", "ground"),
]  # fmt: skip
STATE_RIGHT = [
    "{s}", "it's {s}", "er, {s}", "{s}, {s}", "{o}, correction, {s}", "{o}, sorry, {s}",
    "{s}, thank you", "okay, {s}", "{s} and checked", "they are {s}",
]  # fmt: skip
STATE_WRONG = [
    ("{o}", "x"), ("it's {o}", "n"), ("{s}?", "u"), ("I think {s}", "u"), ("should be {s}", "u"),
    ("{s}, correction, {o}", "x"), ("{s} or {o}", "u"), ("is it {s}", "u"),
    ("probably {s}", "u"), ("{s} in a minute", "u"), ("checked", "u"), ("not {s}", "n"),
    ("almost {s}", "u"), ("what do you want for lunch", "u"),
]  # fmt: skip
THINGS = ["beacon", "landing lights", "fuel pump", "crossfeed", "spoilers", "transponder",
          "generator", "cabin door", "anti-ice", "parking brake"]  # fmt: skip
CHATTER = [
    "did you bring the coffee", "nice weather today", "look at that traffic over there",
    "the passengers are nearly all seated", "tower wants us to hold", "where is the fuel bowser",
    "I will be home by seven", "that was a long day yesterday", "can you pass me the pen",
    "what a beautiful sunset",
]  # fmt: skip
VALUES = [
    ("{n} hPa", lambda r: str(r.randint(960, 1045)), "inches"),
    ("{n} inHg", lambda r: f"{r.randint(2850, 3090) / 100:.2f}", "hectopascals"),
    ("heading {n}", lambda r: f"{r.randint(1, 360):03d}", "knots"),
    ("FL{n}", lambda r: str(r.randint(10, 41) * 10), "feet"),
    ("squawk {n}", lambda r: "".join(str(r.randint(0, 7)) for _ in range(4)), "knots"),
    ("{n} kt", lambda r: str(r.randint(101, 179)), "kilograms"),
    ("{n} kg", lambda r: str(r.randint(1001, 9999)), "pounds"),
    ("{n} lb", lambda r: str(r.randint(1001, 9999)), "kilos"),
    ("{n}%", lambda r: str(r.randint(21, 99)), "knots"),
    ("{n} MHz", lambda r: f"{r.randint(118, 136)}.{r.randint(1, 39) * 25:03d}", "knots"),
    ("trim {n}", lambda r: f"{r.randint(1, 9)}.{r.randint(1, 9)}", "feet"),
    ("{n} L", lambda r: str(r.randint(31, 199)), "gallons"),
]  # fmt: skip


def pair(family: str, expect: str, label: str, reply: str, **options: Any) -> Pair:
    """Return one labelled pair as it stands in the file."""
    return {"family": family, "expect": expect, **options, "reply": reply, "label": LABELS[label]}


def states() -> Iterator[Pair]:
    """Opposites, hedges and corrections, both ways round."""
    for one, other in OPPOSITES:
        for state, opposite in ((one, other), (other, one)):
            if state.startswith("not "):
                continue
            for form in STATE_RIGHT:
                yield pair("states", state, "m", form.format(s=state, o=opposite))
            for form, label in STATE_WRONG:
                yield pair("states", state, label, form.format(s=state, o=opposite))


def things() -> Iterator[Pair]:
    """The thing named with its state; the challenge known; another thing; chatter."""
    for n, thing in enumerate(THINGS):
        other = THINGS[(n + 1) % len(THINGS)]
        for state, opposite in (("on", "off"), ("set", "released"), ("closed", "open")):
            expect = f"{thing} {state}"
            yield pair("things", expect, "m", expect)
            yield pair("things", expect, "m", f"the {thing} is {state}")
            yield pair("things", expect, "m", state, challenge=thing)
            yield pair("things", state, "m", expect, challenge=thing)
            yield pair("things", expect, "n", f"{thing} {opposite}")
            yield pair("things", expect, "n", f"{other} {state}")
            yield pair("things", state, "n", f"{other} {state}", challenge=thing)
            yield pair("things", expect, "u", thing)
            yield pair("things", expect, "u", CHATTER[n])


def digits(number: str, names: list[str], point: str) -> str:
    """Return a number digit by digit."""
    return " ".join(point if c == "." else names[int(c)] for c in number)


def group(number: str) -> str | None:
    """Return a four-digit number in pairs ("1013": ten thirteen), where both are above nine."""
    bare = number.replace(".", "")
    if len(bare) != 4 or bare[0] == "0" or bare[2] == "0":
        return None
    return " ".join(num2words(int(p)).replace("-", " ") for p in (bare[:2], bare[2:]))


def slips(number: str, r: random.Random) -> Iterator[str]:
    """Yield the number with a digit changed, two exchanged, one dropped, one doubled."""
    places = [i for i, c in enumerate(number) if c != "."]
    at = r.choice(places)
    other = r.choice([d for d in "0123456789" if d != number[at]])
    yield number[:at] + other + number[at + 1 :]
    for i in places[:-1]:
        j = i + 1 if number[i + 1] != "." else i + 2
        if number[i] != number[j]:
            yield number[:i] + number[j] + number[i + 1 : j] + number[i] + number[j + 1 :]
            break
    inner = [i for i in places if i not in (0, places[-1])] or places[:1]
    drop = r.choice(inner)
    yield number[:drop] + number[drop + 1 :]
    yield number[:drop] + number[drop] + number[drop:]


def numbers() -> Iterator[Pair]:
    """Values of each kind said rightly and one slip away."""
    r = random.Random(20240)
    for form, make, wrong_unit in VALUES:
        for _ in range(9):
            number = make(r)
            expect = form.format(n=number)
            yield pair("numbers", expect, "m", digits(number, PLAIN, "decimal"))
            yield pair("numbers", expect, "m", digits(number, ICAO, "dayseemal"))
            yield pair("numbers", expect, "m", digits(number, NINER, "point") + " set")
            yield pair("numbers", expect, "m", number)
            grouped = group(number) if "." not in number or "inHg" in form else None
            if grouped and "trim" not in form:
                yield pair("numbers", expect, "m", grouped)
            for slip in slips(number, r):
                if slip.rstrip("0") != number.rstrip("0") or "." not in number:
                    yield pair("slips", expect, "n", digits(slip, NINER, "decimal"))
            yield pair("units", expect, "x", f"{digits(number, PLAIN, 'decimal')} {wrong_unit}")
            yield pair("slips", expect, "u", "checked")
            yield pair("slips", expect, "u", r.choice(CHATTER))


def cardinals() -> Iterator[Pair]:
    """Whole numbers in everyday words, as num2words says them, and their neighbours."""
    r = random.Random(7)
    for number in [r.randint(0, 30) for _ in range(15)] + [r.randint(31, 20000) for _ in range(60)]:
        yield pair("cardinals", str(number), "m", num2words(number))
        off = r.choice([1, 10, 100])
        yield pair("cardinals", str(number), "n", num2words(number + off))


def sides() -> Iterator[Pair]:
    """Two values, two sides."""
    r = random.Random(11)
    for _ in range(25):
        a, b = r.sample(range(11, 60), 2)
        expect = f"{a} left, {b} right"
        say_a, say_b = num2words(a), num2words(b)
        yield pair("sides", expect, "m", f"{say_a} left, {say_b} right")
        yield pair("sides", expect, "m", f"left {a}, right {b}")
        yield pair("sides", expect, "m", f"{say_b} right and {say_a} left")
        yield pair("sides", expect, "n", f"{say_b} left, {say_a} right")
        yield pair("sides", expect, "n", f"{say_a} left")
        yield pair("sides", expect, "n", f"{say_a} {say_b}")
        yield pair("sides", expect, "n", f"{say_a} left, {num2words(b + 1)} right")
    for state, other in (("on", "off"), ("open", "closed"), ("armed", "disarmed"), ("set", "off")):
        for expect in (f"both {state}", f"left and right {state}"):
            for reply in (
                f"both {state}",
                f"left and right {state}",
                f"left {state}, right {state}",
            ):
                yield pair("sides", expect, "m", reply)
            for reply in (
                f"left {state}",
                f"right {state}",
                f"both {other}",
                f"left {state}, right {other}",
            ):
                yield pair("sides", expect, "n", reply)


def by_hand() -> Iterator[Pair]:
    """The pairs of judging_hand.txt."""
    family = ""
    for line in (HERE / "judging_hand.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            family = line[3:].split(",")[0]
        if not line or line.startswith("#"):
            continue
        expect, label, replies = line.split(" | ", 2)
        options = _options(expect)
        accepted = [text.strip() for text in re.sub(r"\{.*\}", "", expect).split(" / ")]
        for reply in replies.split(" ; "):
            expected: Any = accepted if len(accepted) > 1 else accepted[0]
            yield pair(family, expected, label.strip(), reply.strip(), **options)


def _options(text: str) -> dict[str, Any]:
    names = {"units": "other_unit", "prev": "previous", "next": "following", "asreq": "as_required",
             "actual": "actual_status"}  # fmt: skip
    out: dict[str, Any] = {}
    found = re.search(r"\{(.*)\}", text)
    for option in found[1].split(";") if found else ():
        name, _, value = option.strip().partition("=")
        out[names.get(name, name)] = value.strip() or True
    return out


def unique(pairs: Iterator[Pair]) -> Iterator[Pair]:
    """Drop repeats."""
    seen: set[str] = set()
    for one in pairs:
        key = json.dumps(
            {k: v for k, v in one.items() if k not in ("family", "label")}, sort_keys=True
        )
        if key not in seen:
            seen.add(key)
            yield one


def every_pair() -> Iterator[Pair]:
    """All pairs in file order."""
    for rule in (by_hand, states, things, numbers, cardinals, sides):
        yield from rule()


def main() -> None:
    """Write the table."""
    lines = [json.dumps(p, ensure_ascii=False) for p in unique(every_pair())]
    (HERE / "judging_pairs.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(len(lines), "pairs")


if __name__ == "__main__":
    main()
