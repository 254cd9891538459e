"""The port for the sound of replies: kept only if a person asked for it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from callout.ports.hearing import Samples


class SoundStore(Protocol):
    """Keeps the sound of replies whose records are in a journal."""

    said: str
    """What the crew is told while sound is kept; empty: none is."""

    def keep(self, journal: Path, seq: int, sound: Samples) -> str:
        """Keep the sound of the record ``seq`` of ``journal``, completely or not at all.

        Never raises. Returns one sentence when it gives up, once; usually an empty text.
        """
