"""Spoken numbers as published; each value with its source.

FAA AIM 4-2-8 to 4-2-11, FAA Order JO 7110.65 2-4-17/18, UK CAP 413 and ICAO Doc 9432, as collected
in the project's reference notes.
"""

from __future__ import annotations

import pytest

from callout.core.model.verdict import Verdict
from tests.core.judging.conftest import Judge

AIM = [
    ("500 ft", "five hundred"),
    ("4,500 ft", "four thousand five hundred"),
    ("10,000 ft", "one zero thousand"),
    ("12,000 ft", "one two thousand"),
    ("12,500 ft", "one two thousand five hundred"),
    ("13,500 ft", "one three thousand five hundred"),
    ("FL190", "flight level one niner zero"),
    ("FL275", "flight level two seven five"),
    ("10", "one zero"),
    ("122.1", "one two two point one"),
    ("122.1", "one two two decimal one"),
    ("course 005", "zero zero five"),
    ("heading 100", "heading one zero zero"),
    ("250 kt", "two five zero knots"),
    ("190 kt", "one niner zero knots"),
    ("Mach 0.64", "mach point six four"),
    ("Mach 0.7", "mach point seven"),
    ("Mach 1.5", "mach one point five"),
    ("0920", "zero niner two zero"),
]
JO_7110 = [
    ("11,000 ft", "one one thousand"),
    ("17,900 ft", "one seven thousand niner hundred"),
    ("FL180", "flight level one eight zero"),
    ("10,000 ft", "ten thousand"),
    ("17,900 ft", "seventeen thousand niner hundred"),
    ("29.92 inHg", "two niner niner two"),
    ("29.92 inHg", "twenty nine ninety two"),
    ("126.55", "one two six point five five"),
    ("126.55", "one twenty six point fifty five"),
    ("1,320 ft", "one three two zero"),
    ("486 ft", "four eight six"),
    ("11,495", "one one four niner five"),
]
CAP_413_AND_ICAO = [
    ("squawk 6500", "six five zero zero"),
    ("150 degrees", "one five zero degrees"),
    ("18 kt", "one eight knots"),
    ("FL180", "one eight zero"),
    ("FL100", "one hundred"),
    ("FL100", "one zero zero"),
    ("1012 hPa", "one zero one two"),
    ("runway 24L", "two four left"),
    ("FL75", "flight level seven five"),
    ("118.450", "one one eight decimal four five zero"),
    ("119.500", "one one nine decimal five"),
    ("2,500 ft", "two thousand five hundred"),
    ("11,000 ft", "one one thousand"),
    ("25,000 ft", "two five thousand"),
]


@pytest.mark.parametrize(("expect", "reply"), [*AIM, *JO_7110, *CAP_413_AND_ICAO])
def test_the_published_form_is_accepted(said: Judge, expect: str, reply: str) -> None:
    assert said(reply, expect).verdict is Verdict.MATCH


# ICAO Annex 10 Vol II 5.2.1.4.3 (ZE-RO WUN TOO TREE FOW-er FIFE SIX SEV-en AIT NIN-er DAY-SEE-MAL),
# as tabled in CAP 413 chapter 2.
ICAO_WORDS = ["zero", "wun", "too", "tree", "fower", "fife", "six", "seven", "ait", "niner"]


@pytest.mark.parametrize("digit", range(10))
def test_icao_pronunciation_of_each_digit(said: Judge, digit: int) -> None:
    spoken = f"one {ICAO_WORDS[digit]} zero"
    assert said(spoken, f"1{digit}0").verdict is Verdict.MATCH
    assert said(f"one two one dayseemal {ICAO_WORDS[digit]}", f"121.{digit}5").verdict is not (
        Verdict.MATCH
    )


@pytest.mark.parametrize(("expect", "reply"), [*AIM, *JO_7110, *CAP_413_AND_ICAO])
def test_no_published_form_is_accepted_for_another_value(
    said: Judge, expect: str, reply: str
) -> None:
    same = {e for e, r in [*AIM, *JO_7110, *CAP_413_AND_ICAO] if r == reply}
    for other, _ in [*AIM, *JO_7110, *CAP_413_AND_ICAO]:
        if other not in same and _digits(other) != _digits(expect):
            assert said(reply, other).verdict is not Verdict.MATCH, other


def _digits(text: str) -> str:
    return "".join(c for c in text if c.isdigit()).strip("0")
