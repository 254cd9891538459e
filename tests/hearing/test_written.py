"""How spoken numbers may be written."""

from __future__ import annotations

import num2words
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.hearing.embedded import written
from callout.hearing.embedded.written import MOST, written_variants

# Said as in FAA AIM 4-2-8 to 4-2-11, FAA Order JO 7110.65 2-4-17 and ICAO Annex 10 vol. II 5.2;
# how a transcript writes it: common practice.
TABLE = [
    ("one zero one three", {"1013", "1 0 1 3", "1,013"}),
    ("tree niner fower", {"394", "3 9 4"}),
    ("twenty nine ninety two", {"2992", "29.92", "29 92"}),
    ("two niner niner two", {"2992", "2 9 9 2"}),
    ("two thousand five hundred", {"2500", "2,500"}),
    ("one two thousand five hundred", {"12500", "12,500"}),
    ("one three thousand five hundred", {"13500", "13,500"}),
    ("one zero thousand", {"10000", "10,000"}),
    ("five hundred", {"500"}),
    ("four thousand five hundred", {"4500", "4,500"}),
    ("one seven thousand niner hundred", {"17900", "17,900"}),
    ("seventeen thousand niner hundred", {"17900", "17,900"}),
    ("one hundred thousand", {"100000", "100,000"}),
    ("two hundred fifty thousand", {"250000", "250,000"}),
    ("one two two point one", {"122.1", "1 2 2 point 1"}),
    ("one one eight decimal four five zero", {"118.450", "1 1 8 point 450"}),
    ("one twenty six point fifty five", {"126.55"}),
    ("heading zero five zero", {"heading 050", "heading 0 5 0", "Heading 050"}),
    ("flaps five", {"Flaps 5", "flaps 5", "Flaps five", "flaps five"}),
    ("one point five thousand", {"1.5 thousand", "1500", "1,500"}),
    ("zero nine two zero", {"0920"}),
    ("two thousand four hundred r p m", {"2,400 RPM", "two thousand four hundred RPM"}),
    ("one five degrees celsius", {"15 degrees Celsius"}),
    ("q n h one zero one three", {"QNH 1013"}),
    ("twenty oh five", {"2005"}),
    ("ten", {"10"}),
    ("nineteen", {"19"}),
    ("ninety", {"90"}),
    ("flaps five set", {"flaps 5 set"}),
]


@pytest.mark.parametrize(("said", "expected"), TABLE)
def test_numbers_are_written_in_digits_too(said: str, expected: set[str]) -> None:
    ways = written_variants(said)
    assert expected <= set(ways)
    assert said in ways
    assert said.capitalize() in ways


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("one zero one three", {"1031", "113", "10.13.", "101"}),
        ("two thousand five hundred", {"2000500", "25", "2005"}),
        ("one hundred thousand", {"1100", "1,100"}),
        ("two niner niner two", {"2892", "2982"}),
        ("flaps five", {"flaps 9", "flaps 15"}),
        ("one point five thousand", {"15000", "15,000", "1500.0"}),
        ("one point point two", {"1.02", "1.2", "102"}),
        ("one point on", {"1. on", "1.0 on"}),
        ("one point two point three", {"1.23", "1.2.3", "123"}),
    ],
)
def test_no_other_number_is_among_the_ways(said: str, wrong: set[str]) -> None:
    assert not wrong & set(written_variants(said))


@settings(deadline=None)
@given(st.integers(1, 999_999))
def test_group_form_gives_the_number(number: int) -> None:
    """Against num2words, an independent speller of numbers."""
    said = num2words.num2words(number).replace("-", " ").replace(",", "").replace(" and ", " ")
    ways = written_variants(said)
    if number < 100 or "hundred" in said or "thousand" in said:
        assert str(number) in ways


@settings(deadline=None)
@given(st.lists(st.sampled_from(sorted(set(written.DIGITS) - {"tree", "fower"})), min_size=1,
                max_size=8))  # fmt: skip
def test_digit_by_digit_gives_the_digits(words: list[str]) -> None:
    assert "".join(written.DIGITS[w] for w in words) in written_variants(" ".join(words))


@pytest.mark.parametrize("said", ["on", "both on", "closed and locked", "point", "hundred", ""])
def test_words_without_a_number_stay_words(said: str) -> None:
    assert set(written_variants(said)) == {said, said[:1].upper() + said[1:]}


NUMBERS = [*written.DIGITS, *written.TEENS, *written.TENS, *written.SCALES, *written.POINTS]


@settings(deadline=None)
@given(st.lists(st.sampled_from([*NUMBERS, "on", "set", "flaps", "and"]) | st.text(max_size=6)))
def test_any_words_are_taken(words: list[str]) -> None:
    said = " ".join(words)
    ways = written_variants(said)
    assert said in ways
    assert len(ways) == len(set(ways)) <= 2 * MOST


def test_many_numbers_in_one_phrase_are_no_burden() -> None:
    """Sixty numbers with two ways each have 2^60 ways together: only a few are ever made."""
    said = ("one two and " * 60).strip()
    assert MOST < len(written_variants(said)) <= 2 * MOST
