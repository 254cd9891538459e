"""No voice at all: challenges are only shown."""

from __future__ import annotations

import threading


class SilentSpeaker:
    """Says nothing, at once or in the time a voice would have taken.

    words_per_minute: 0 returns at once; otherwise ``say`` lasts as long as speech at that rate.
    """

    name = "silent"

    def __init__(self, words_per_minute: float = 0) -> None:
        self.words_per_minute = words_per_minute
        self._cut = threading.Event()
        self._closed = False

    def say(self, text: str) -> bool:
        """Return True when the time is over (nothing failed), False if interrupted or closed."""
        if self._closed:
            return False
        self._cut.clear()
        if self.words_per_minute <= 0:
            return True
        return not self._cut.wait(len(text.split()) * 60 / self.words_per_minute)

    def stop(self) -> None:
        """Stop the current wait."""
        self._cut.set()

    def close(self) -> None:
        """End every wait, now and later."""
        self._closed = True
        self._cut.set()
