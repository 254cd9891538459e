"""Writes reports to files and to standard output, and reads them aloud."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from platformdirs import user_data_path

from callout.app.shared.settings import Settings
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError
from callout.outlet import save_text
from callout.store.made import REPORTS, note_report

STDOUT = "-"


def write_report(where: str, make: Callable[[], str]) -> None:
    """Write what ``make`` returns to the file ``where``, completely or not at all; "-": print it.

    A new file has the permissions of a journal, since it says as much about a person, and is listed
    so that `callout forget` finds it.

    Raises CalloutError if the file cannot be written.
    """
    text = make()
    if where == STDOUT:
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    with suppress(OSError):  # the report matters more than the list that `forget` reads
        note_report(user_data_path("callout", appauthor=False) / REPORTS, Path(where))
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
