"""The sound of replies, beside their journal: ``ID.jsonl`` and ``ID.sound/12.wav``.

A file's name is the number of the record that it was heard for, so that the journal leads to it.
Plain WAV: every browser and player has it, and it needs no library.
"""

from __future__ import annotations

import io
import re
import wave
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from callout.core.sentences import kept_sound as sentences
from callout.errors import CalloutError
from callout.outlet import save_bytes
from callout.regular import open_regular

if TYPE_CHECKING:
    from callout.ports.hearing import Samples

ENDING = ".sound"
_NAME = re.compile(r"([1-9][0-9]{0,6})\.wav")
MOST_BYTES = 2_000_000
"""A reply is cut after 12 s, which is 0.4 MB; anything much longer is none of ours."""


class SoundFiles:
    """Keeps sounds in files that only their owner may read."""

    said = sentences.SOUND_IS_KEPT

    def __init__(self) -> None:
        self._given_up = False

    def keep(self, journal: Path, seq: int, sound: Samples) -> str:
        """Keep one sound; after the first that cannot be kept no more are tried."""
        if self._given_up:
            return ""
        try:
            folder = sound_folder(journal)
            if folder.is_symlink():
                raise OSError(sentences.leads_elsewhere(folder))
            folder.mkdir(mode=0o700, exist_ok=True)
            save_bytes(folder / f"{seq}.wav", wav_bytes(sound), private=True)
        except (OSError, CalloutError) as error:
            self._given_up = True
            return sentences.sound_not_kept(error)
        return ""


def sound_folder(journal: Path) -> Path:
    """Return where the sounds of a journal are."""
    return journal.with_suffix(ENDING)


def kept_sounds(journal: Path) -> Mapping[int, Path]:
    """Return the sounds of a journal by the number of their record; links are left out."""
    folder = sound_folder(journal)
    try:
        inside = [] if folder.is_symlink() else list(folder.iterdir())
    except OSError:
        return {}
    named = ((_NAME.fullmatch(path.name), path) for path in inside)
    return {int(name[1]): path for name, path in sorted(named, key=lambda one: one[1].name)
            if name and not path.is_symlink() and path.is_file()}  # fmt: skip


def sound_bytes(path: Path) -> bytes:
    """Return a kept sound as a WAV file; raises CalloutError if it is none."""
    from callout.ports.hearing import SAMPLE_RATE

    try:
        with open_regular(path) as file:
            data = file.read(MOST_BYTES + 1)
        with wave.open(io.BytesIO(data)) as sound:
            usual = (sound.getnchannels(), sound.getsampwidth(), sound.getframerate())
    except (OSError, EOFError, wave.Error) as error:
        raise CalloutError(sentences.sound_unreadable(path, error)) from error
    if len(data) > MOST_BYTES or usual != (1, 2, SAMPLE_RATE):
        raise CalloutError(sentences.not_a_kept_sound(path))
    return data


def wav_bytes(sound: Samples) -> bytes:
    """Return samples as a WAV file."""
    from callout.ports.hearing import SAMPLE_RATE

    made = io.BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(sound.astype("<i2").tobytes())
    return made.getvalue()
