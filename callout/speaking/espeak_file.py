"""Speech to a file through pyttsx3's espeak driver, waiting where the driver does not.

That driver plays through a program whose failure it ignores, so the file is played here. Its
``runAndWait`` comes back after a hundredth of a second whether the speech is finished or not, and
drops settings that the engine has not taken by then.
"""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

from callout.errors import EngineUnavailable

_SETTLE_S = 1.0
_FINISH_S = 30.0
_STEP_S = 0.002


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
        """Set ``rate``, ``volume`` or ``voice`` and wait until the engine says it has it."""
        self._engine.setProperty(name, value)
        deadline = time.monotonic() + _SETTLE_S
        while not _same(self._engine.getProperty(name), value):
            if time.monotonic() > deadline:
                raise EngineUnavailable(f"The voice does not take the {name} {value}.")
            time.sleep(_STEP_S)

    def write(self, text: str, path: Path) -> None:
        """Speak ``text`` into a WAV file; raises EngineUnavailable if none comes."""
        path.unlink(missing_ok=True)
        self._finished.clear()
        self._engine.save_to_file(text, str(path))
        self._engine.runAndWait()
        if not self._finished.wait(_FINISH_S) or not path.exists():
            raise EngineUnavailable("The voice made no sound.")


def _same(found: object, wanted: object) -> bool:
    if isinstance(wanted, float) and isinstance(found, float):
        return abs(found - wanted) < 0.01
    return found == wanted
