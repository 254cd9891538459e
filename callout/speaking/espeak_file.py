"""Speech to a file through pyttsx3's espeak driver, waiting where the driver does not.

That driver plays through a program whose failure it ignores, so the file is played here. Its
``runAndWait`` returns after a hundredth of a second whether the speech is finished or not, and when
it begins it cancels whatever the engine is still doing: a setting, and with it the speech.
"""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

from callout.core.sentences import sound_devices as sentences
from callout.errors import EngineUnavailable

_SETTLE_S = 1.0
_FINISH_S = 30.0
_STEP_S = 0.002
_REST_S = 0.02
"""The engine is busy for a moment after a setting."""
_TRIES = 3
_HEADER = 44
"""Bytes of a WAV file without sound."""


class EspeakFile:
    """Wraps one pyttsx3 engine whose driver is espeak."""

    def __init__(self, engine: Any) -> None:
        self._engine = engine
        self._finished = threading.Event()
        engine.connect("finished-utterance", self._on_finished)
        engine.runAndWait()  # an engine that has never run keeps settings back

    def _on_finished(self, name: object, completed: bool) -> None:
        self._finished.set()

    def set(self, name: str, value: object) -> None:
        """Set ``rate``, ``volume`` or ``voice`` and wait until the engine confirms it."""
        if _same_voice(self._engine.getProperty(name), value):
            return
        self._engine.setProperty(name, value)
        deadline = time.monotonic() + _SETTLE_S
        while not _same_voice(self._engine.getProperty(name), value):
            if time.monotonic() > deadline:
                raise EngineUnavailable(sentences.voice_refuses(name, str(value)))
            time.sleep(_STEP_S)
        time.sleep(_REST_S)

    def write(self, text: str, path: Path) -> None:
        """Speak ``text`` into a WAV file; raises EngineUnavailable if none is made."""
        for _ in range(_TRIES):
            self._write(text, path)
            if path.stat().st_size > _HEADER or not any(map(str.isalnum, text)):
                return
            time.sleep(_REST_S)
        raise EngineUnavailable(sentences.VOICE_MADE_NO_SOUND)

    def _write(self, text: str, path: Path) -> None:
        path.unlink(missing_ok=True)
        self._finished.clear()
        self._engine.save_to_file(text, str(path))
        self._engine.runAndWait()
        if not self._finished.wait(_FINISH_S) or not path.exists():
            raise EngineUnavailable(sentences.VOICE_MADE_NO_SOUND)


def _same_voice(found: object, wanted: object) -> bool:
    if isinstance(wanted, float) and isinstance(found, float):
        return abs(found - wanted) < 0.01
    return found == wanted
