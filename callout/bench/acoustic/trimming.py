"""Finds the words in a recording."""

from __future__ import annotations

import numpy as np

from callout.ports.hearing import SAMPLE_RATE, Samples

LOUD = 0.04
"""A sample above this share of the peak belongs to the word."""
AROUND = int(0.06 * SAMPLE_RATE)


def trimmed(samples: Samples) -> Samples:
    """Return the samples without most of the silence around the words."""
    size = np.abs(samples.astype(np.int32))
    smooth = np.convolve(size, np.ones(160) / 160, "same")
    loud = np.flatnonzero(smooth > LOUD * max(float(smooth.max()), 1.0))
    return samples[max(0, loud[0] - AROUND) : loud[-1] + AROUND] if len(loud) else samples
