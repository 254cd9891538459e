"""Writes reports to files and to standard output, and reads them aloud."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from callout.app.shared.settings import Settings
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError
from callout.outlet import save_text

STDOUT = "-"


def write_report(where: str, make: Callable[[], str]) -> None:
    """Write what ``make`` returns to the file ``where``, completely or not at all; "-": print it.

    A new file has the permissions of a journal: it says as much about a person.

    Raises CalloutError if the file cannot be written.
    """
    text = make()
    if where == STDOUT:
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    save_text(Path(where), text, "The report", private=True)


def say_aloud(lines: tuple[str, ...], settings: Settings) -> None:
    """Say ``lines`` with the configured voice; raise CalloutError on failure."""
    from callout.speaking.speakers import speaker_of

    voice = settings.voice
    speaker = speaker_of(voice.name, rate=voice.rate, volume=voice.volume)
    try:
        for line in lines:
            if not speaker.say(line):
                said = speaker.failure or sentences.SUMMARY_NOT_SPOKEN
                raise CalloutError(said, speaker.hint or "To see why: callout doctor")
    finally:
        speaker.close()
