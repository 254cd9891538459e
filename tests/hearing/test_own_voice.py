"""Enrolled voices: kept, compared, told apart, forgotten; and a voice over the tool's own."""

from __future__ import annotations

import stat
import sys
import unicodedata
from pathlib import Path

import numpy as np
import pytest

from callout.core.keeping.forgetting import plain_name
from callout.hearing.colour import COEFFICIENTS, colour_of
from callout.hearing.embedded.evidence import PhraseScore
from callout.hearing.embedded.own_voice import second_look
from callout.hearing.over_voice import OverVoice
from callout.hearing.voices import (
    Voice,
    VoiceInvalid,
    VoiceTake,
    enrolled_voices,
    forget_voice,
    keep_voice,
    load_voice,
    voice_file,
)
from callout.hearing.warping import unit_directions, warped_distances
from callout.hearing.who import Who, named_speaker

RNG = np.random.default_rng(3)
SPOKEN = {"on": ("on",), "off": ("off",), "both on": ("both on",)}


def take(word: str, colour: float = 0.0) -> VoiceTake:
    frames = RNG.normal(size=(20, 288)).astype(np.float32)
    return VoiceTake(word, frames, np.full(COEFFICIENTS, colour, np.float32))


def ranked(*texts: str) -> tuple[PhraseScore, ...]:
    return tuple(PhraseScore(t, -float(n), -float(n), -float(n)) for n, t in enumerate(texts))


def test_a_voice_comes_back_as_kept_and_can_be_forgotten(tmp_path: Path) -> None:
    path = keep_voice(Voice("Anna B", (take("on"), take("off"))), tmp_path)
    if sys.platform != "win32":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    back = load_voice("anna b", tmp_path)
    assert (back.name, back.words) == ("Anna B", ("on", "off"))
    assert [v.name for v in enrolled_voices(tmp_path)] == ["Anna B"]
    forget_voice("Anna B", tmp_path)
    assert not list(tmp_path.iterdir())
    for lost in (load_voice, forget_voice):
        with pytest.raises(VoiceInvalid) as refused:
            lost("Anna B", tmp_path)
        assert "callout mic" in refused.value.hint


@pytest.mark.parametrize("name", ["", "../x", "a/b", ".hidden", "x" * 41])
def test_a_name_never_leads_out_of_the_folder(name: str, tmp_path: Path) -> None:
    with pytest.raises(VoiceInvalid):
        voice_file(name, tmp_path)


@pytest.mark.parametrize("cut", [0, 10, 200])
def test_a_damaged_voice_is_one_sentence(tmp_path: Path, cut: int) -> None:
    path = keep_voice(Voice("Ben", (take("on"),)), tmp_path)
    path.write_bytes(path.read_bytes()[:cut])
    with pytest.raises(VoiceInvalid, match="cannot be read"):
        load_voice("Ben", tmp_path)
    assert list(enrolled_voices(tmp_path)) == []


def test_warping_agrees_with_the_recurrence_as_published() -> None:
    """Sakoe and Chiba 1978, symmetric form without slope constraint (recurrence from memory)."""
    query = unit_directions(RNG.normal(size=(9, 12)).astype(np.float32))
    takes = [unit_directions(RNG.normal(size=(n, 12)).astype(np.float32)) for n in (1, 5, 14)]
    for found, other in zip(warped_distances(query, takes), takes, strict=True):
        cost = 1 - query @ other.T
        total = np.full((len(query) + 1, len(other) + 1), np.inf)
        total[0, 0] = 0
        for i in range(len(query)):
            for j in range(len(other)):
                steps = (total[i, j + 1], total[i + 1, j], total[i, j] + cost[i, j])
                total[i + 1, j + 1] = cost[i, j] + min(steps)
        assert found == pytest.approx(total[-1, -1] / (len(query) + len(other)), abs=1e-5)


def test_a_word_said_slower_is_still_near() -> None:
    word, other = (RNG.normal(size=(12, 40)).astype(np.float32) for _ in range(2))
    slow = np.repeat(word, 2, axis=0)
    near, far = warped_distances(
        unit_directions(word), [unit_directions(slow), unit_directions(other)]
    )
    assert near < 0.01 < far


def test_agreement_lifts_and_contradiction_lowers() -> None:
    agree = second_look(ranked("on", "off"), 0.5, {"on": 0.03, "off": 0.09}, SPOKEN)
    assert agree.added > 1
    assert agree.scores[0].text == "on"
    doubt = second_look(ranked("on", "off"), 3.0, {"on": 0.09, "off": 0.08}, SPOKEN)
    assert doubt.added < 0
    other = second_look(ranked("on", "off"), 3.0, {"on": 0.09, "off": 0.03}, SPOKEN)
    assert other.scores[0].text == "off"
    assert 3.0 + other.added < 3.0


def test_what_sounds_like_no_own_word_is_never_lifted() -> None:
    far = second_look(ranked("on", "off"), 0.5, {"on": 0.2, "off": 0.3}, SPOKEN)
    assert far.added == 0.0
    assert second_look(ranked("both on"), 0.5, {"on": 0.03, "off": 0.09}, SPOKEN).added < 0
    assert second_look(ranked("on"), 0.5, {}, SPOKEN).added == 0.0


def test_two_people_are_told_apart_by_colour_and_one_alone_is_never_named() -> None:
    anna, ben = Voice("Anna", (take("on", 0.0),)), Voice("Ben", (take("on", 1.5),))
    colour = np.full(COEFFICIENTS, 0.05, np.float32)
    assert named_speaker(Who([anna, ben]).chances(colour, {})) == "Anna"
    assert named_speaker(Who([anna]).chances(colour, {})) == ""
    middle = np.full(COEFFICIENTS, 0.75, np.float32)
    assert named_speaker(Who([anna, ben]).chances(middle, {})) == ""


def test_colour_does_not_hang_on_level() -> None:
    sound = (RNG.normal(size=16_000) * 3000).astype(np.int16)
    quiet = (sound.astype(float) / 10).astype(np.int16)
    assert np.abs(colour_of(sound) - colour_of(quiet)).max() < 0.1
    assert not np.any(colour_of(sound[:100]))


def block(db: float) -> np.ndarray:
    return (RNG.normal(size=512) * 32768 * 10 ** (db / 20)).astype(np.int16)


def test_the_tools_own_voice_is_not_let_through_and_a_clear_voice_is() -> None:
    over = OverVoice()
    assert len(over.take(block(-60))) == 1
    over.speaking(True)
    assert not any(over.take(block(-40)) for _ in range(60))
    assert not any(over.take(block(-37)) for _ in range(20))  # 3 dB louder is no person
    assert any(over.take(block(-25)) for _ in range(5))
    assert over.open


def test_nobody_is_let_through_before_its_level_is_known_nor_just_after() -> None:
    over = OverVoice()
    over.speaking(True)
    assert not any(over.take(block(-20)) for _ in range(20))
    over.speaking(False)
    assert not any(over.take(block(-20)) for _ in range(10))  # still in the air
    assert over.take(block(-20))


@pytest.mark.parametrize("name", ["Zoë", "Jürgen Voß", "O'Neill", "Ana María", "李 雷", "J. Smith"])
def test_names_of_people_are_kept_as_they_are_written(name: str, tmp_path: Path) -> None:
    path = keep_voice(Voice(name, (take("on"),)), tmp_path)
    apart = unicodedata.normalize("NFD", name).upper()
    assert load_voice(apart, tmp_path).name == name
    assert plain_name(apart) == plain_name(name)
    assert [v.name for v in enrolled_voices(tmp_path)] == [name]
    assert voice_file(name.lower(), tmp_path) == path
    forget_voice(apart, tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_voice_that_is_not_there_names_those_that_are(tmp_path: Path) -> None:
    keep_voice(Voice("Zoë", (take("on"),)), tmp_path)
    (tmp_path / "Renamed By Hand.npz").write_bytes(b"no voice")
    with pytest.raises(VoiceInvalid) as refused:
        load_voice("Zoe", tmp_path)
    assert "Enrolled voices: Zoë." in refused.value.hint


@pytest.mark.parametrize("name", ["\u202ekram", "a\nb" * 20, "x:y", "Zoë\x00", "*", "."])
def test_what_is_no_name_is_refused_and_shown_harmlessly(name: str, tmp_path: Path) -> None:
    with pytest.raises(VoiceInvalid) as refused:
        voice_file(name, tmp_path)
    assert refused.value.message.isprintable()
