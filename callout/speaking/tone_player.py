"""Plays the verdict tones without holding up the session."""

from __future__ import annotations

import queue
import threading

from callout.core.model.verdict import Verdict
from callout.speaking.child import SoundChild

_START_S = 5.0


class TonePlayer:
    """Plays tones one after the other from its own thread and process.

    A tone that cannot sound is left out: after two failures in a row ``failure`` says why and
    nothing more is tried. volume: 0 to 1.
    """

    def __init__(self, *, volume: float = 1.0, child: SoundChild | None = None) -> None:
        self.volume = volume
        self.failure = ""
        self._child = child or SoundChild()
        self._due: queue.Queue[Verdict | None] = queue.Queue(maxsize=4)
        self._thread = threading.Thread(target=self._work, name="tones", daemon=True)
        self._thread.start()

    def play(self, verdict: Verdict) -> None:
        """Sound a verdict's tone soon; returns at once and never raises."""
        if self.failure:
            return
        try:
            self._due.put_nowait(verdict)
        except queue.Full:
            return  # a tone that late would belong to nothing

    def close(self) -> None:
        """End the process; safe to call twice."""
        self.failure = self.failure or "closed"
        self._child.close()
        while not self._due.empty():
            self._due.get_nowait()
        self._due.put_nowait(None)
        self._thread.join(timeout=_START_S)

    def _work(self) -> None:
        failures = 0
        while (verdict := self._due.get()) is not None:
            request = {"do": "tone", "verdict": verdict.value, "volume": self.volume}
            reply = self._child.ask(request, _START_S)
            failures = 0 if reply["ok"] else failures + 1
            if failures > 1:
                self.failure = self.failure or str(reply["error"])
