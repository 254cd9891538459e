"""What is written and what is said; the sources stand beside the lines."""

from __future__ import annotations

import pytest

from callout.speaking.embedded.reading import TradeWords, number_words, split_sentences

TRADE = TradeWords.shipped()


@pytest.mark.parametrize(
    ("written", "said"),
    [
        # FAA AIM 4-2-8 and 4-2-9: figures by digit, round hundreds and thousands as such
        ("500 feet", "five hundred feet"),
        ("4,500 ft", "four thousand five hundred feet"),
        ("10,000 ft", "one zero thousand feet"),
        ("13,500 ft", "one three thousand five hundred feet"),
        ("FL 190", "flight level one niner zero"),
        # AIM 4-2-10: the three digits of a heading, zeros included
        ("heading 005", "heading zero zero five"),
        # AIM 7-2-2 and ICAO Annex 10 Vol II 5.2.1.4: altimeter settings digit by digit
        ("29.92", "two niner niner two"),
        ("QNH 1013", "QNH one zero one three"),
        ("QNH 1000 hPa", "QNH one zero zero zero hectopascals"),
        # ICAO Annex 10 Vol II 5.2.1.4.3: "decimal" in a frequency
        ("118.325", "one one eight decimal three two five"),
        # AIM 4-2-8: runways by digit, and their side
        ("Runway 27L, wind", "Runway two seven left , wind"),
        ("runway 09R", "runway zero niner right"),
        # common practice
        ("12 items", "twelve items"),
        ("1 kg, 2 kg", "one kilogram , two kilograms"),
        ("-5°C", "minus five degrees Celsius"),
        ("10-15 %", "ten to fifteen percent"),
        ("V1 and Vref", "vee one and vee ref"),
        ("squawk 7000", "squawk seven zero zero zero"),
        ("0.5", "zero point five"),
        ("Höhe", "Hohe"),
    ],
)
def test_the_trade_s_way_of_saying_it(written: str, said: str) -> None:
    assert " ".join(word for s in split_sentences(written, TRADE) for word in s) == said


def test_sentences_are_kept_apart_and_marks_alone_are_none() -> None:
    assert split_sentences("Check. Flaps?", TRADE) == [["Check", "."], ["Flaps", "?"]]
    assert split_sentences("...?! \n", TRADE) == []


@pytest.mark.parametrize("digits", ["0", "7", "00", "99", "100", "0100", "101", "99999", "100000"])
def test_every_number_has_words(digits: str) -> None:
    for by_digit in (False, True):
        assert number_words(digits, by_digit=by_digit).replace(" ", "").isalpha()
