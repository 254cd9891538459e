"""What the page listens with between sessions, and one period of listening."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

from callout.app.shared.settings import load_settings
from callout.ports.hearing import AudioSource, Recogniser

_LAST_S = 10.0


def _microphone() -> AudioSource:
    """Open the configured microphone."""
    from callout.hearing.microphone import MicrophoneSource

    return MicrophoneSource(load_settings().microphone or None)


def _recogniser() -> Recogniser:
    """Return the recogniser that sessions on this machine use."""
    from callout.app.listening.engines import open_recogniser

    return open_recogniser("auto")


def _say_aloud(words: str) -> None:
    """Say something with the configured voice; without one, the page shows it."""
    from callout.speaking.speakers import speaker_of

    voice = load_settings().voice
    if not voice.speak:
        return
    speaker = speaker_of(voice.name, rate=voice.rate, volume=voice.volume)
    try:
        speaker.say(words)
    finally:
        speaker.close()


@dataclass(frozen=True, slots=True)
class Ears:
    """What it listens and asks with."""

    source: Callable[[], AudioSource] = _microphone
    recogniser: Callable[[], Recogniser] = _recogniser
    say: Callable[[str], None] = _say_aloud


USUAL_EARS = Ears()


class Stretch:
    """One period of listening, in a thread of its own."""

    def __init__(self, listen: Callable[[Stretch], None]) -> None:
        self._source: AudioSource | None = None
        self._ended, self._turned = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=listen, args=(self,), name="calling", daemon=True)
        self._thread.start()

    @property
    def ended(self) -> bool:
        """Whether it is to end, or has ended."""
        return self._ended.is_set()

    @property
    def turned(self) -> bool:
        """Whether the microphone was closed only to restart listening."""
        return self._turned.is_set()

    def hears(self, source: AudioSource) -> None:
        """Note the microphone that is open."""
        self._source = source
        self._turned.clear()
        if self.ended:
            source.close()

    def turn(self) -> None:
        """Restart listening, for something else."""
        self._turned.set()
        if self._source is not None:
            self._source.close()

    def end(self) -> None:
        """Close the microphone and wait; from its own thread, only close it."""
        self._ended.set()
        self.turn()
        if threading.current_thread() is not self._thread:
            self._thread.join(_LAST_S)
