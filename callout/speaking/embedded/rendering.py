"""Text to sound with the embedded voice; rendered texts are cached, within a bound."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from callout.arithmetic import Floats
from callout.speaking.embedded.network import VoiceNetwork
from callout.speaking.embedded.pronouncing import Pronouncer
from callout.speaking.embedded.waveform import RATE, make_waveform
from callout.speaking.embedded.weights import VoiceWeights

USUAL_WPM = 200
"""Words per minute at the network's own speed: 215 in running text, fewer in short challenges."""
SLOWEST, FASTEST = 0.5, 2.0
"""Speeds beyond these were not trained."""
MOST_BYTES = 16_000_000
"""Cached sound: some two and a half minutes."""
_LEVEL, _PEAK = 0.10, 0.95
"""Root mean square of the speech, and the highest sample, as shares of full scale."""
_SILENCE = 0.003
_HEAD_S, _TAIL_S, _BETWEEN_S = 0.01, 0.03, 0.18
"""Silence left before and after a sentence, and put between two."""


@dataclass(frozen=True, slots=True)
class Timbre:
    """How to turn the one voice into another: factors of pitch and of the vocal tract."""

    pitch: float = 1.0
    size: float = 1.0


FIRST = Timbre()
SECOND = Timbre(pitch=0.62, size=1.13)
"""Lower and larger, so that it is easily told from the first (`callout bench voices`)."""


class Renderer:
    """Safe from several threads; one computes at a time."""

    def __init__(self, network: VoiceNetwork, pronouncer: Pronouncer, signs: dict[str, int]):
        self._network, self._pronouncer, self._signs = network, pronouncer, signs
        self._kept: OrderedDict[tuple[str, float, Timbre], Floats] = OrderedDict()
        self._bytes = 0
        self._one = threading.Lock()

    @classmethod
    def shipped(cls) -> Renderer:
        """Load the package's voice; raises ModelNotFound if the installation lacks it."""
        weights = VoiceWeights.shipped()
        return cls(VoiceNetwork(weights), Pronouncer.shipped(), weights.signs)

    def sentences(self, text: str, wpm: float, timbre: Timbre = FIRST) -> Iterator[Floats]:
        """Yield mono samples at RATE, sentence by sentence, each as soon as it is ready.

        wpm: words per minute. Text without anything to say yields nothing.
        """
        speed = float(np.clip(wpm / USUAL_WPM, SLOWEST, FASTEST))
        for signs in self._pronouncer.phrases(text):
            yield self._sentence(signs, round(speed, 3), timbre)

    def _sentence(self, signs: str, speed: float, timbre: Timbre) -> Floats:
        key = signs, speed, timbre
        with self._one:
            if (kept := self._kept.get(key)) is not None:
                self._kept.move_to_end(key)
                return kept
            sound = self._render(*key)
            self._keep(key, sound)
            return sound

    def _render(self, signs: str, speed: float, timbre: Timbre) -> Floats:
        numbers = [self._signs[s] for s in signs if s in self._signs]
        told = self._network.spectra([0, *numbers, 0], speed)
        return _level_sentence(make_waveform(told, pitch=timbre.pitch, size=timbre.size))

    def _keep(self, key: tuple[str, float, Timbre], sound: Floats) -> None:
        self._kept[key] = sound
        self._bytes += sound.nbytes
        while self._bytes > MOST_BYTES and len(self._kept) > 1:
            self._bytes -= self._kept.popitem(last=False)[1].nbytes


def _level_sentence(sound: Floats) -> Floats:
    """Return a sentence at a fixed loudness, with silences cut to a known length."""
    loud = np.flatnonzero(np.abs(sound) > _SILENCE)
    if not len(loud):
        return np.zeros(0, np.float32)
    begin = max(0, int(loud[0]) - round(_HEAD_S * RATE))
    voiced = sound[begin : int(loud[-1]) + round(_TAIL_S * RATE)]
    active = voiced[np.abs(voiced) > _SILENCE]
    gain = min(_LEVEL / float(np.sqrt(np.mean(active**2))), _PEAK / float(np.abs(voiced).max()))
    return (voiced * np.float32(gain)).astype(np.float32)


def sentence_pause() -> Floats:
    """Return the silence between two sentences."""
    return np.zeros(round(_BETWEEN_S * RATE), np.float32)
