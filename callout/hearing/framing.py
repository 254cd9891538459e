"""Level and framing: the network hears best at a fixed level, with silence on both sides."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from callout.ports.hearing import SAMPLE_RATE, Samples

PAD_SECONDS = 0.8
PEAK = 0.5
LONGEST_SECONDS = 12.0
"""Longer speech is not a reply; the rest is ignored."""


def frame_samples(
    samples: Samples, pad: float = PAD_SECONDS, peak: float = PEAK
) -> NDArray[np.float32]:
    """Return samples without DC offset, scaled to a fixed peak, with silence on both sides.

    Input: 16-bit mono at 16 kHz, any length; output: float32 in -1..1.
    """
    kept = samples[: int(LONGEST_SECONDS * SAMPLE_RATE)].astype(np.float32) / 32768.0
    if kept.size:
        kept = kept - kept.mean()
        kept = kept * (peak / (float(np.abs(kept).max()) + 1e-6))
    quiet = np.zeros(int(pad * SAMPLE_RATE), np.float32)
    return np.concatenate([quiet, kept, quiet])
