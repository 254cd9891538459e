"""Reports on their way out: to files, to standard output, and to the voice."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

from callout.app.settings import Settings
from callout.errors import CalloutError

STDOUT = "-"


def write_report(where: str, make: Callable[[], str]) -> None:
    """Write what ``make`` returns to the file ``where``, whole or not at all; "-": print it.

    Raises CalloutError when the file cannot be written.
    """
    text = make()
    if where == STDOUT:
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    path = Path(where)
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_bytes(text.encode("utf-8", "replace"))
        os.replace(beside, path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        why = (error.strerror or str(error)).rstrip(".")
        hint = "Name another file, or free some space."
        raise CalloutError(f"The report cannot be written to {path}: {why}.", hint) from error


def say_aloud(lines: tuple[str, ...], settings: Settings) -> None:
    """Say ``lines`` with the voice that is set; raise CalloutError when it fails."""
    from callout.speaking.voice import ChildVoice

    voice = settings.voice
    speaker = ChildVoice(rate=voice.rate, volume=voice.volume, voice=voice.name or None)
    try:
        for line in lines:
            if not speaker.say(line):
                said = speaker.failure or "The summary could not be said aloud."
                raise CalloutError(said, speaker.hint or "callout doctor finds out why.")
    finally:
        speaker.close()
