"""What the tool plays, sample by sample, so that an ear can remove it from what it hears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class PlayedPart:
    """One buffer that was given to a device."""

    samples: NDArray[np.float32]
    """Mono, full scale 1; silence is played too."""
    rate: int
    """Samples a second."""
    at: float
    """``time.monotonic`` at which the first sample is audible, according to the driver."""


class PlayedSound(Protocol):
    """A device that keeps what it was given."""

    def taken(self) -> list[PlayedPart]:
        """Return what was given since the last call, in order; nothing if unknown."""
