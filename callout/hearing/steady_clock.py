"""A sound device's own clock, estimated from the uncertain times that its driver gives."""

from __future__ import annotations

import numpy as np

_CHANCE_S = 0.004
"""Standard deviation of a driver's times."""
_RATE = 5e-5
"""Prior standard deviation of a device's rate from its nominal one: 50 ppm."""
_WANDERS = 1e-8
"""How much a rate may change per second, as a share of it."""
_JUMP_S = 0.3
"""A time this far off means that samples were lost, or the device was reopened."""


class SteadyClock:
    """When each sample is heard or captured: offset and rate, followed by a Kalman filter.

    rate: nominal samples per second. Times are ``time.monotonic`` seconds.
    """

    def __init__(self, rate: float) -> None:
        self._nominal = rate
        self._known = False
        self._count = 0.0
        self._at = self._off = 0.0
        self._doubt = np.zeros((2, 2))

    @property
    def period(self) -> float:
        """Seconds from one sample to the next."""
        return (1 + self._off) / self._nominal

    def add(self, count: float, at: float) -> bool:
        """Note that sample ``count`` has the time ``at``; False if the clock restarts there."""
        if not self._known or abs(at - self.when(count)) > _JUMP_S:
            was_known, self._known = self._known, True
            self._count, self._at, self._off = count, at, 0.0
            self._doubt = np.diag([_CHANCE_S**2, _RATE**2])
            return not was_known
        self._go_on(count)
        gain = self._doubt[:, 0] / (self._doubt[0, 0] + _CHANCE_S**2)
        error = at - self._at
        self._at += gain[0] * error
        self._off += gain[1] * error
        self._doubt = self._doubt - np.outer(gain, self._doubt[0])
        return True

    def _go_on(self, count: float) -> None:
        seconds = (count - self._count) / self._nominal
        self._at, self._count = self.when(count), count
        step = np.array([[1.0, seconds], [0.0, 1.0]])
        self._doubt = step @ self._doubt @ step.T
        self._doubt[1, 1] += (_WANDERS * seconds) ** 2

    def when(self, count: float) -> float:
        """Return the time of a sample."""
        return self._at + (count - self._count) * self.period

    def number(self, at: float) -> float:
        """Return the sample number at a time, with its fraction."""
        return self._count + (at - self._at) / self.period
