"""Write what the recogniser makes of fixed recordings, for comparison on other machines and days.

Run: python -m tests.data.make_stored_scores
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.resample import ToPort
from callout.hearing.segmenter import BLOCK, Segmenter
from tests.hearing.recordings import WORDS, in_a_room, listening_for, recording

STORED = Path(__file__).parent / "stored_scores.json"
SPREAD = 0.005
"""Most that a number may be away from the stored one: natural logarithms, probabilities, seconds.
Between numpy 1.26 and 2.4, and four processors' instructions, the most was 0.0001."""
HEARD = tuple(name for name in WORDS if name.startswith(("demo/", "human/")))
WRONG = ("off", "on", "both on", "closed", "one zero one three", "one zero one eight", "continue")


def measured() -> dict[str, float | str]:
    """Return what is stored, by recording and what it is."""
    found: dict[str, float | str] = {}
    recogniser = EmbeddedRecogniser()
    for name in HEARD:
        words = WORDS[name]
        recogniser.listen_for(listening_for(words, *(w for w in WRONG if w != words)))
        opinion = recogniser.opinion(recording(name))
        assert opinion is not None
        found[f"{name} transcript"] = opinion.reading.text
        found[f"{name} transcript's log-likelihood"] = round(opinion.reading.score, 4)
        for phrase in opinion.scores[:2]:
            found[f"{name} as {phrase.text!r}, decoder"] = round(phrase.raw, 4)
            found[f"{name} as {phrase.text!r}, phones"] = round(phrase.phones, 4)
    recogniser.close()
    return found | _heard_as_speech() | _resampled()


def _heard_as_speech() -> dict[str, float | str]:
    found: dict[str, float | str] = {}
    for name in HEARD:
        segmenter = Segmenter()
        samples = in_a_room(name)
        for at in range(0, len(samples) - BLOCK, BLOCK):
            segmenter.push(samples[at : at + BLOCK])
            if segmenter.speaking:
                found[f"{name} speech begins"] = round(segmenter.started, 3)
                break
    return found


def _resampled() -> dict[str, float | str]:
    """Return some samples of a rising tone (0 to 9 kHz in a second) brought to 16 kHz."""
    seconds = np.arange(44_100) / 44_100
    tone = (0.5 * np.sin(2 * np.pi * 4_500 * seconds**2)).astype(np.float32)
    brought = ToPort(44_100).convert(tone[:, None], last=True) / 32_768
    return {
        f"rising tone at {at} of 16000": round(float(brought[at]), 4) for at in (99, 8_000, 14_999)
    }


def main() -> None:
    """Write the file."""
    STORED.write_text(json.dumps(measured(), indent=1, ensure_ascii=False) + "\n", "utf-8")
    print(STORED)


if __name__ == "__main__":
    main()
