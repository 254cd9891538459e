"""The verdict tones."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np
import pytest
from numpy.typing import NDArray

from callout.core.model.verdict import Verdict
from callout.speaking import tone_player, tones
from callout.speaking.tone_player import TonePlayer, TonesOverVoice
from tests.speaking.children import CANNOT, SPEAKS, child


@pytest.mark.parametrize("verdict", Verdict)
def test_a_tone_is_short_audible_and_does_not_click(verdict: Verdict) -> None:
    samples = tones.verdict_tone(verdict)
    assert len(samples) / tones.RATE == pytest.approx(
        sum(note.seconds for note in tones.TONES[verdict]), abs=0.001
    )
    assert 0.1 <= sum(note.seconds for note in tones.TONES[verdict]) <= 0.5
    assert 0.2 < np.abs(samples).max() <= 0.25
    assert np.abs(samples[[0, -1]]).max() < 0.001
    # A step between samples larger than the highest note makes is a click.
    assert np.abs(np.diff(samples)).max() < 0.25 * 2 * np.pi * 1200 / tones.RATE


def _main_pitch(verdict: Verdict) -> float:
    samples = tones.verdict_tone(verdict)
    spectrum = np.abs(np.fft.rfft(samples, n=tones.RATE))
    return float(spectrum.argmax())


def test_tones_differ_in_pitch_and_in_rhythm() -> None:
    for one, other in itertools.combinations(Verdict, 2):
        ratio = _main_pitch(one) / _main_pitch(other)
        assert max(ratio, 1 / ratio) > 1.25  # more than a major third
        assert [n.seconds for n in tones.TONES[one]] != [n.seconds for n in tones.TONES[other]]


def test_pitches_are_those_written() -> None:
    assert _main_pitch(Verdict.MATCH) == pytest.approx(1175, abs=15)
    assert _main_pitch(Verdict.MISMATCH) == pytest.approx(294, abs=15)


def test_a_player_that_cannot_sound_gives_up_quietly() -> None:
    player = TonePlayer(child=child(CANNOT))
    for _ in range(3):
        player.play(Verdict.MATCH)
    player.close()
    player.close()
    assert player.failure
    player.play(Verdict.MATCH)


def test_a_player_does_not_hold_up_its_caller() -> None:
    player = TonePlayer(child=child(SPEAKS))
    for _ in range(100):
        player.play(Verdict.UNCLEAR)
    player.close()


@dataclass
class Voice:
    """The built-in voice, as far as tones go."""

    able: bool
    heard: list[int] = field(default_factory=list)

    def sound(self, tone: NDArray[np.float32], rate: int) -> bool:
        self.heard.append(len(tone))
        return self.able


@pytest.mark.parametrize("able", [True, False])
def test_tones_go_through_the_voice_s_output_where_it_has_one(
    able: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[TonePlayer] = []

    def player(volume: float) -> TonePlayer:
        made.append(TonePlayer(volume=volume, child=child(SPEAKS)))
        return made[-1]

    monkeypatch.setattr(tone_player, "TonePlayer", player)
    voice = Voice(able)
    over = TonesOverVoice(voice)  # type: ignore[arg-type]
    over.play(Verdict.MATCH)
    over.play(Verdict.UNCLEAR)
    over.close()
    over.close()
    assert voice.heard == [len(tones.verdict_tone(v)) for v in (Verdict.MATCH, Verdict.UNCLEAR)]
    assert len(made) == (not able)
    assert bool(over.failure) == (not able)
