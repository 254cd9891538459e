"""The clock port: the only source of time."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol


class Clock(Protocol):
    """Two clocks read together."""

    def now(self) -> float:
        """Return seconds that never go backwards, from any origin."""

    def utc(self) -> datetime:
        """Return the wall-clock time with its zone (UTC)."""
