"""What the program says and writes itself, the judge accepts; one slip away it does not."""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal

import pytest

from callout.core.judging.contrast import (
    contrasting_replies,
    near_values,
    sounds_alike_at_its_end,
)
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.figures import digits_of, fraction_of
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.language.values import implied_point
from callout.core.model.expectation import Answer, Expectation, Value, ValueKind, Words
from callout.core.model.verdict import Verdict


def _answers() -> Iterator[str]:
    r = random.Random(9)
    for _ in range(12):
        yield f"{r.randint(940, 1050)} hPa"
        yield f"{r.randint(2800, 3099) / 100:.2f} inHg"
        yield f"heading {r.randint(1, 360):03d}"
        yield f"FL{r.randint(5, 45) * 10}"
        yield f"{r.randint(118, 136)}.{r.randint(0, 39) * 25:03d}"
        yield "squawk " + "".join(str(r.randint(0, 7)) for _ in range(4))
        yield f"{r.randint(60, 180)} kt"
        yield f"{r.randint(1, 40) * 100} ft"
        yield f"{r.randint(500, 20000)} kg"
        yield f"{r.randint(-40, 45)} C"
        yield f"{r.randint(0, 110)}%"
        yield f"flaps {r.randint(0, 40)}"
        yield f"{r.randint(0, 23):02d}:{r.randint(0, 59):02d}"
        yield f"{r.randint(1, 36):02d}L"
        yield f"{r.randint(0, 99) / 10} t"
        yield f"Mach 0.{r.randint(50, 90)}"


ANSWERS = sorted(set(_answers()))


def verdict(reply: str, answer: Answer, tables: Tables) -> Verdict:
    return judge_reply(reply, Expectation((answer,)), tables).verdict


_FOUR_GROUPED = (ValueKind.PRESSURE, ValueKind.TRANSPONDER, ValueKind.TIME, ValueKind.NUMBER)
"""Kinds whose four digits a recogniser may print with a mark between the pairs ("10.13")."""


def written_forms(value: Value) -> tuple[str, ...]:
    """Return digit-written variants a speech-to-text model prints ("1013", "10 13", "1 0 1 3")."""
    digits = digits_of(value)
    whole = len(digits) - len(fraction_of(value))
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


@pytest.mark.parametrize("text", ANSWERS)
def test_spoken_and_written_forms_are_accepted(text: str, tables: Tables) -> None:
    answer = parse_answer(text, tables)
    forms = spoken_forms(answer, tables, limit=60)
    assert forms
    for form in forms:
        assert form == form.lower()
        assert not any(c.isdigit() for c in form)
        assert verdict(form, answer, tables) is Verdict.MATCH, form
    for part in answer.parts:
        if isinstance(part, Value):
            for form in written_forms(part):
                assert verdict(form, Answer((part,), text), tables) is Verdict.MATCH, form


@pytest.mark.parametrize("text", ANSWERS[::2])
def test_values_one_slip_away_are_refused(text: str, tables: Tables) -> None:
    answer = parse_answer(text, tables)
    for at, part in enumerate(answer.parts):
        if isinstance(part, Value):
            for near in near_values(part):
                parts = (*answer.parts[:at], near, *answer.parts[at + 1 :])
                for form in spoken_forms(Answer(parts, "near"), tables, limit=6):
                    assert verdict(form, answer, tables) is not Verdict.MATCH, form


DIGIT_WORDS = frozenset(
    ("zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "niner")
)


@pytest.mark.parametrize("text", ANSWERS)
def test_a_digit_said_twice_or_left_out_is_refused(text: str, tables: Tables) -> None:
    answer = parse_answer(text, tables)
    right = set(spoken_forms(answer, tables, limit=200))
    for form in sorted(right)[:12]:
        said = form.split()
        for at in (i for i, word in enumerate(said) if word in DIGIT_WORDS):
            for wrong in (said[: at + 1] + said[at:], said[:at] + said[at + 1 :]):
                reply = " ".join(wrong)
                if reply and reply not in right:
                    fits = verdict(reply, answer, tables) is Verdict.MATCH
                    assert not fits or _says_the_same(wrong, said), (form, reply)


def _says_the_same(said: list[str], listed: list[str]) -> bool:
    """True where the number is unchanged: "hundred" for "one hundred", zeros beside the point."""
    if said[:2] == ["hundred", "percent"] or said == ["hundred"]:
        return listed == ["one", *said]
    numbers = [_decimal(words) for words in (said, listed)]
    return None not in numbers and numbers[0] == numbers[1]


ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def _decimal(words: list[str]) -> Decimal | None:
    known = {w: str(n) for n, w in enumerate(ONES)}
    known |= {"oh": "0", "niner": "9", "decimal": ".", "point": "."}
    digits = "".join(known.get(w, "") for w in words)
    return Decimal(f"0{digits}") if digits.count(".") == 1 else None


def test_near_values_hold_each_kind_of_slip() -> None:
    numbers = {str(v.number) for v in near_values(Value(Decimal("1013")))}
    assert {"1031", "1003", "1019", "101", "10113", "1113"} <= numbers
    assert "1013" not in numbers


@pytest.mark.parametrize(
    ("one", "other"), [("1013", "1030"), ("117", "170"), ("150", "115"), ("2190", "2119")]
)
def test_only_the_ending_tells_thirteen_from_thirty(one: str, other: str) -> None:
    """Common practice; ICAO Annex 10 vol. II 5.2.1.4.1 has figures said one by one."""
    for value, near in ((one, other), (other, one)):
        made = {v.number: v for v in near_values(Value(Decimal(value)))}
        assert Decimal(near) in made
        assert sounds_alike_at_its_end(Value(Decimal(value)), made[Decimal(near)])
        assert not sounds_alike_at_its_end(Value(Decimal(value)), Value(Decimal("999")))


def test_near_values_leave_out_what_the_tolerance_covers() -> None:
    value = Value(Decimal(100), tolerance=Decimal(5))
    assert all(abs(v.number - 100) > 5 for v in near_values(value))


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("on", "off"),
        ("beacon on", "beacon off"),
        ("armed", "disarmed"),
        ("set", "not set"),
        ("not set", "set"),
        ("both on", "left on"),
        ("down and locked", "down and unlocked"),
    ],
)
def test_contrasting_replies_are_named_and_refused(text: str, wrong: str, tables: Tables) -> None:
    answer = parse_answer(text, tables)
    found = contrasting_replies(answer, tables)
    assert wrong in found
    for phrase in found:
        assert verdict(phrase, answer, tables) is not Verdict.MATCH, phrase


def test_a_checklist_adds_contrasts_of_its_own(tables: Tables) -> None:
    answer = parse_answer("taxi", tables)
    assert "turnoff" in contrasting_replies(answer, tables, extra=[("taxi", "turnoff")])


def test_most_usual_form_comes_first(tables: Tables) -> None:
    def first(text: str) -> str:
        return spoken_forms(parse_answer(text, tables), tables)[0]

    assert first("1013 hPa") == "one zero one three"
    assert first("FL190") == "flight level one nine zero"
    assert first("10,000 ft") == "one zero thousand feet"
    assert first("flaps 15") == "flaps fifteen"
    assert first("V1 125") == "v one one hundred twenty five"
    assert first("-5 C") == "minus five degrees celsius"


def test_the_limit_holds(tables: Tables) -> None:
    answer = parse_answer("V1 125, VR 128, V2 135", tables)
    assert len(spoken_forms(answer, tables, limit=5)) == 5


def test_words_and_values_are_told_apart(tables: Tables) -> None:
    parts = parse_answer("flaps 5", tables).parts
    assert isinstance(parts[0], Words)
    assert isinstance(parts[1], Value)
