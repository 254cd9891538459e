"""The platform's own voice, spoken by a child process with a deadline."""

from __future__ import annotations

import threading
from dataclasses import dataclass

from callout.errors import EngineUnavailable
from callout.remedy import system_install
from callout.speaking.child import Reply, SoundChild

RATE = 180
"""Words per minute."""
_START_S = 10.0
"""Time limit for starting the process and the engine, the first time only."""
_DEVICE_S = 3.0
"""Time limit for opening the device."""
_WORD_S = 0.5
"""Time limit per word at 180 per minute: half as much again as needed."""
_LETTERS = 6.0
"""Letters per word: an unbroken string is spelled out and takes longer."""
_MOST_FAILURES = 2


@dataclass(frozen=True, slots=True)
class VoiceName:
    """One of the platform's voices."""

    id: str
    name: str
    languages: tuple[str, ...] = ()


class ChildVoice:
    """Speaks through pyttsx3 in its own process, which is killed to stop it or when it hangs.

    rate: words per minute; volume: 0 to 1; voice: an id, a name or a language ("en-gb"). All three
    may be set at any time and apply from the next ``say``. After a second consecutive failure
    ``failure`` says why, and the voice stays silent until ``revive``.
    """

    name = "voice"

    def __init__(
        self,
        *,
        rate: int = RATE,
        volume: float = 1.0,
        voice: str | None = None,
        child: SoundChild | None = None,
        start_s: float = _START_S,
        device_s: float = _DEVICE_S,
        word_s: float = _WORD_S,
    ) -> None:
        self.rate, self.volume, self.voice = rate, volume, voice
        self.failure = ""
        self.hint = ""
        self.note = ""
        """What is worth reporting about the last ``say``, such as an unknown voice's name."""
        self._start_s, self._device_s, self._word_s = start_s, device_s, word_s
        self._child = child or SoundChild()
        self._one_at_a_time = threading.Lock()
        self._speaking = threading.Event()
        self._cut = threading.Event()
        self._closed = False
        self._failures = 0
        self._warm()

    def say(self, text: str) -> bool:
        """Speak and return when it is over: True if spoken, False if interrupted or failed.

        Never raises, never exceeds ``deadline(text)``; returns False at once after a permanent
        failure.
        """
        with self._one_at_a_time:
            if self._closed or self.failure:
                return False
            if not text.strip():
                return True
            reply = self._ask(text)
            if self._cut.is_set():
                self._warm()
                return False
            return self._judge(reply)

    def _ask(self, text: str) -> Reply:
        self._cut.clear()
        self._speaking.set()
        try:
            self._child.start()
            return self._child.ask(self._request(text), self.deadline(text), self._cut.is_set)
        except OSError as error:
            return {"ok": False, "error": f"the voice process cannot be started: {error}"}
        finally:
            self._speaking.clear()

    def deadline(self, text: str) -> float:
        """Return the seconds after which speech of ``text`` is abandoned."""
        words = max(len(text.split()), len(text) / _LETTERS) + sum(map(str.isdigit, text))
        starting = self._start_s if self._child.fresh else 0.0
        return starting + self._device_s + words * self._word_s * max(1.0, RATE / self.rate)

    def stop(self) -> None:
        """Stop the current speech by ending its process; a new one starts with the next word."""
        if self._speaking.is_set():
            self._cut.set()
            self._child.kill()

    def revive(self) -> None:
        """Try again after ``failure``, for example when a speaker was plugged in."""
        self.failure = self.hint = ""
        self._failures = 0

    def voices(self) -> tuple[VoiceName, ...]:
        """Return the platform's voices; raises EngineUnavailable if there is no engine."""
        with self._one_at_a_time:
            reply = self._child.ask({"do": "voices"}, self._start_s)
        if not reply["ok"]:
            raise EngineUnavailable(str(reply["error"]), str(reply.get("hint") or install_hint()))
        return tuple(
            VoiceName(row["id"], row["name"], tuple(row["languages"])) for row in reply["voices"]
        )

    def close(self) -> None:
        """End the voice; safe to call twice."""
        self._closed = True
        self._cut.set()
        self._child.close()

    def _request(self, text: str) -> Reply:
        rate = min(max(self.rate, 60), 450)
        volume = min(max(self.volume, 0.0), 1.0)
        return {"do": "say", "text": text, "rate": rate, "volume": volume, "voice": self.voice}

    def _judge(self, reply: Reply) -> bool:
        if reply["ok"]:
            self._failures = 0
            self.note = str(reply.get("note", ""))
            return True
        self._failures += 1
        self._child.kill()  # an engine that failed once is not trusted again
        if self._failures >= _MOST_FAILURES:
            self.failure = str(reply["error"])
            self.hint = str(reply.get("hint") or install_hint())
        else:
            self._warm()
        return False

    def _warm(self) -> None:
        """Have the process ready before it is needed; a failure shows with the next ``say``."""
        try:
            self._child.start()
        except OSError as error:
            self.note = f"the voice process cannot be started: {error}"


def voice_available(child: SoundChild | None = None) -> tuple[bool, str, str]:
    """Return whether speech can be heard here, what was found, and the remedy (may be empty)."""
    child = child or SoundChild()
    try:
        reply = child.ask({"do": "probe"}, _START_S + _DEVICE_S)
    finally:
        child.close()
    if not reply["ok"]:
        return False, str(reply["error"]), str(reply.get("hint") or install_hint())
    through = f" through {reply['output']}" if reply.get("output") else ""
    return True, f"{reply['engine']} with {reply['voices']} voices{through}", ""


def install_hint() -> str:
    """Return the one command that installs a voice on this platform."""
    by_system = system_install("espeak-ng", "portaudio")
    return by_system or "pip install --force-reinstall pyttsx3 sounddevice"
