"""The acoustic model: its arithmetic against definitions and SciPy, its file, what it hears."""

from __future__ import annotations

import io
import wave
from pathlib import Path

import numpy as np
import pytest
import scipy.signal
import scipy.special

from callout.hearing.embedded import acoustic
from callout.hearing.embedded.acoustic import (
    BANDS,
    Acoustic,
    log_mel_spectrogram,
    mel_bands,
    pack_weights,
    position_codes,
    unpack_weights,
)
from callout.hearing.embedded.lexicon import PHONES, Lexicon
from callout.hearing.embedded.phone_probe import phrase_scores
from callout.ports.hearing import Samples

RNG = np.random.default_rng(0)
FIXTURES = Path(__file__).parents[2] / "audio_fixtures" / "human"


def sound(seconds: float, level: float = 2000.0) -> Samples:
    return (RNG.normal(0, level, int(seconds * 16_000))).astype(np.int16)


def test_the_spectrogram_is_the_short_time_fourier_transform_of_scipy() -> None:
    x = sound(0.5).astype(np.float32) / 32768
    window = scipy.signal.get_window("hann", 400)
    padded = np.pad(x, 200, mode="reflect")
    frames = [padded[i * 160 : i * 160 + 400] * window for i in range(len(x) // 160)]
    power = np.abs(np.fft.rfft(frames)) ** 2
    bands = np.log10(np.maximum(power @ mel_bands().T, 1e-10))
    assert log_mel_spectrogram(x) == pytest.approx(
        (np.maximum(bands, bands.max() - 8) + 4) / 4, abs=1e-4
    )


def test_bands_are_linear_to_one_kilohertz_then_logarithmic_each_of_area_one() -> None:
    """Slaney, Auditory Toolbox (1998): 200/3 Hz a band unit below 1 kHz, 6.4 ** (1/27) above."""
    hertz = np.linspace(0, 8000, 201)
    tops = hertz[mel_bands().argmax(1)]
    assert (np.diff(tops) >= 0).all()
    areas = mel_bands()[40:].sum(1) * (hertz[1] - hertz[0])
    assert areas == pytest.approx(np.ones(BANDS - 40), abs=0.12)


def test_the_smooth_ramp_is_near_x_times_the_normal_distribution() -> None:
    x = np.linspace(-6, 6, 200).astype(np.float32)
    assert acoustic._gelu(x) == pytest.approx(x * scipy.special.ndtr(x), abs=2e-3)


def test_places_are_told_apart_and_do_not_hang_on_how_many_follow() -> None:
    assert position_codes(20)[:5] == pytest.approx(position_codes(5))
    assert len(np.unique(position_codes(600).round(4), axis=0)) == 600


def test_each_frame_is_a_probability_over_phones_and_none() -> None:
    frames = Acoustic.shipped().read(sound(0.7))
    assert frames.shape == (35, len(PHONES) + 1)
    assert np.exp(frames).sum(1) == pytest.approx(np.ones(35), abs=1e-4)


@pytest.mark.parametrize("count", [0, 1, 399])
def test_too_short_a_sound_has_no_frames(count: int) -> None:
    assert Acoustic.shipped().read(np.zeros(count, np.int16)).shape == (0, len(PHONES) + 1)


def test_a_packed_matrix_is_off_by_half_a_step_of_its_row_at_most() -> None:
    weights = {"a": RNG.normal(0, 1, (7, 30)).astype(np.float32), "b": np.ones(3, np.float32)}
    file = io.BytesIO()
    np.savez(file, **pack_weights(weights))  # type: ignore[arg-type, unused-ignore]
    file.seek(0)
    back = unpack_weights(file)
    step = np.abs(weights["a"]).max(1, keepdims=True) / 127
    assert (np.abs(back["a"] - weights["a"]) <= step / 2 + 1e-6).all()
    assert back["b"] == pytest.approx(weights["b"])


@pytest.mark.audio
@pytest.mark.parametrize("word", ["on", "off", "up", "down", "left", "right"])
def test_a_human_word_is_likelier_than_the_others(word: str) -> None:
    lexicon, words = Lexicon.shipped(), ("on", "off", "up", "down", "left", "right", "yes", "no")
    with wave.open(str(FIXTURES / f"{word}.wav")) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16)
    frames = Acoustic.shipped().read(samples)
    scores = phrase_scores(frames, [lexicon.word(w)[0] for w in words])
    assert words[int(scores.argmax())] == word


@pytest.mark.audio
@pytest.mark.parametrize("gain", [0.03, 0.25, 0.9])
def test_a_faint_word_is_heard_as_the_same(gain: float) -> None:
    lexicon = Lexicon.shipped()
    with wave.open(str(FIXTURES / "off.wav")) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16)
    frames = Acoustic.shipped().read((samples * gain).astype(np.int16))
    on, off = phrase_scores(frames, [lexicon.word("on")[0], lexicon.word("off")[0]])
    assert off > on
