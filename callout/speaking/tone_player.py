"""Plays the verdict tones without holding up the session."""

from __future__ import annotations

import queue
import threading

from callout.core.model.verdict import Verdict
from callout.speaking.child import SoundChild
from callout.speaking.embedded_voice import EmbeddedVoice
from callout.speaking.tones import RATE, verdict_tone

_START_S = 5.0


class TonePlayer:
    """Plays tones in sequence from its own thread and process.

    A tone that cannot be played is skipped: after two consecutive failures ``failure`` says why and
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


class TonesOverVoice:
    """Plays tones through the built-in voice's own output, where speech is lowered for them.

    If the voice has no such output, a separate player is used.
    """

    def __init__(self, voice: EmbeddedVoice, *, volume: float = 1.0) -> None:
        self._voice = voice
        self._volume = volume
        self._player: TonePlayer | None = None

    @property
    def failure(self) -> str:
        """Why nothing sounds any more; empty while all is well."""
        return self._player.failure if self._player else ""

    def play(self, verdict: Verdict) -> None:
        """Sound a verdict's tone soon; returns at once and never raises."""
        if self._voice.sound(verdict_tone(verdict), RATE):
            return
        self._player = self._player or TonePlayer(volume=self._volume)
        self._player.play(verdict)

    def close(self) -> None:
        """End the player, if there is one; safe to call twice."""
        if self._player:
            self._player.close()
