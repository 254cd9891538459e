"""Make the recordings of the crew's golden sessions (synthetic voices, 16 kHz, 16 bit, mono).

Run: python -m tests.data.make_crew_audio
"""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np

from callout.bench.synth import synthesise
from callout.hearing.cabin_noise import mix_noise
from callout.ports.hearing import SAMPLE_RATE, Samples

FOLDER = Path(__file__).parent / "crew_audio"
VOICES = {"left": "festival:cmu_us_slt_arctic_hts", "right": "flite:rms"}
"""Who sits where: two invented people."""
PAUSE = np.zeros(SAMPLE_RATE * 3 // 20, np.int16)


def file_of(seat: str, words: str) -> Path:
    """Return the recording of ``words`` by the person in a seat."""
    return FOLDER / f"{seat}-{words.replace(' ', '-').replace(',', '')}.wav"


def make(seat: str, words: str) -> Path:
    """Say ``words`` and write them; 150 ms of silence on either side."""
    path = file_of(seat, words)
    drowned = words.endswith(", drowned")
    speech = synthesise(words.removesuffix(", drowned"), VOICES[seat])
    samples = np.concatenate((PAUSE, _trimmed(speech), PAUSE))
    samples = mix_noise(samples, -6.0, 5) if drowned else samples
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(samples.astype("<i2").tobytes())
    return path


def _trimmed(samples: Samples) -> Samples:
    size = np.abs(samples.astype(np.int32))
    loud = np.flatnonzero(size > 0.01 * size.max())
    return samples[loud[0] : loud[-1] + 1]


def main() -> None:
    """Make every recording that a golden session plays."""
    from tests.end_to_end.crew_sessions import SESSIONS
    from tests.end_to_end.study_sessions import STUDY_SESSIONS

    FOLDER.mkdir(exist_ok=True)
    wanted = {
        (seat, words) for session in (*SESSIONS, *STUDY_SESSIONS) for seat, words in session.said
    }
    for path in FOLDER.glob("*.wav"):
        path.unlink()
    for seat, words in sorted(wanted):
        print(make(seat, words).name)


if __name__ == "__main__":
    main()
