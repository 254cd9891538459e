"""Words to sounds."""

from __future__ import annotations

import re

import pytest
import yaml

from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.speaking.embedded.pronouncing import LONGEST, Pronouncer
from callout.speaking.embedded.weights import VoiceWeights

VOICE = Pronouncer.shipped()


@pytest.mark.parametrize(
    ("written", "sounds"),
    [
        ("QNH", "kjˌu ˌɛn ˈAʧ"),
        ("APU", "ˌA pˌi jˈu"),
        ("APUs", "ˌA pˌi jˈuz"),
        ("ATIS", "ˈATɪs"),
        ("ON", "ˌɔn"),
        ("AC", "ˌA sˈi"),
        ("SELECTED", "səlˈɛktᵻd"),
        ("crossfeed", "kɹˈɔsfˌid"),
        ("retracted", "ɹətɹˈæktᵻd"),
        ("believed", "bəlˈivd"),
        ("extinguished", "ɪkstˈɪŋɡwɪʃt"),
        ("harnesses", "hˈɑɹnəsᵻz"),
        ("zqx", "zˌi kjˌu ˈɛks"),
        ("the oil", "ði ˈYl"),
        ("the flaps", "ðə flˈæps"),
    ],
)
def test_words_abbreviations_endings_compounds_and_letters(written: str, sounds: str) -> None:
    assert VOICE.phrases(written) == [sounds]


def test_every_word_of_the_shipped_lists_is_known_and_none_is_spelled() -> None:
    words: set[str] = set()
    for path in shipped_folder(CHECKLISTS).rglob("*.yaml"):
        told = yaml.safe_load(path.read_text(encoding="utf-8"))
        words |= set(_words(told))
    assert len(words) > 300
    spelled = {w for w in words if " " in VOICE.phrases(w)[0] and not w.isupper()}
    assert spelled == set()


def _words(told: object) -> list[str]:
    """Return the words of challenges, as they stand in the file."""
    if isinstance(told, list):
        return [w for part in told for w in _words(part)]
    if not isinstance(told, dict):
        return []
    said = [str(told[key]) for key in ("challenge", "say") if key in told]
    here = [w for text in said for w in re.findall(r"[A-Za-z]{3,}", text)]
    return here + [w for part in told.values() for w in _words(part)]


def test_only_signs_that_the_network_knows_and_never_too_many() -> None:
    known = set(VoiceWeights.shipped().signs)
    text = "Altimeter, two niner niner two, set and cross checked on both sides " * 30
    parts = VOICE.phrases(text)
    assert all(len(part) <= LONGEST for part in parts)
    assert set("".join(parts)) <= known
    assert sum(part.count("nˈInəɹ") for part in parts) == 60
