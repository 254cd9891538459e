"""A person's own voice, stored as features of enrolled words; one file per person, deletable.

The file holds the recogniser's inner frames of each take (no audio can be played from them), the
colour of the voice, and the adaptation of the phone reading. Recordings are not kept.
"""

from __future__ import annotations

import json
import os
import unicodedata
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from platformdirs import user_data_path

from callout.core.debrief.shown import shown_text
from callout.core.sentences import files
from callout.core.sentences import sound_devices as sentences
from callout.errors import CalloutError

VARIABLE = "CALLOUT_VOICES_DIR"
VERSION = 1
MOVES = "move."
"""Prefix of the names of stored changes."""
_LONGEST = 40
_BETWEEN = " _-'.\N{RIGHT SINGLE QUOTATION MARK}"

Floats = NDArray[np.float32]


class VoiceInvalid(CalloutError):
    """An enrolled voice is missing or cannot be used."""


@dataclass(frozen=True, slots=True)
class VoiceTake:
    """One enrolled word said once."""

    word: str
    frames: Floats
    """The encoder's frames of it, (n, 288)."""
    colour: Floats
    """Its mean cepstrum (callout/hearing/colour.py)."""


@dataclass(frozen=True, slots=True)
class Voice:
    """A person's takes, and what was learnt from them."""

    name: str
    takes: tuple[VoiceTake, ...]
    moves: Mapping[str, Floats] = field(default_factory=dict, repr=False, compare=False)
    """Change of the phone reading's weights, by layer; empty if nothing is learnt yet."""
    moved_from: str = ""
    """The phone reading that this is a change of."""

    @property
    def words(self) -> tuple[str, ...]:
        """The enrolled words, in the order in which they were said."""
        return tuple(dict.fromkeys(take.word for take in self.takes))


def voices_folder() -> Path:
    """Return where voices are kept; the CALLOUT_VOICES_DIR variable overrides it."""
    chosen = os.environ.get(VARIABLE)
    return Path(chosen) if chosen else user_data_path("callout", appauthor=False) / "voices"


def checked_name(name: str) -> str:
    """Return a name fit for a file, composed (NFC); raises VoiceInvalid for any other."""
    plain = unicodedata.normalize("NFC", " ".join(name.split()))
    if (
        not 0 < len(plain) <= _LONGEST
        or not plain[0].isalnum()
        or not all(map(_is_fit_letter, plain))
    ):
        raise VoiceInvalid(
            f'"{shown_text(name)}" cannot name a voice.',
            sentences.name_of_a_voice(_LONGEST),
        )
    return plain


def _is_fit_letter(char: str) -> bool:
    return char.isalnum() or char in _BETWEEN or unicodedata.category(char).startswith("M")


def voice_file(name: str, folder: Path | None = None) -> Path:
    """Return where the voice called ``name`` is stored, whether it exists or not."""
    key = unicodedata.normalize("NFC", checked_name(name).casefold()).replace(" ", "_")
    return (folder or voices_folder()) / f"{key}.npz"


def keep_voice(voice: Voice, folder: Path | None = None) -> Path:
    """Write a voice, completely or not at all; only its owner can read the file."""
    path = voice_file(voice.name, folder)
    about = {
        "version": VERSION,
        "name": voice.name,
        "words": [t.word for t in voice.takes],
        "moved_from": voice.moved_from,
    }
    arrays = {"about": np.frombuffer(json.dumps(about).encode(), np.uint8)}
    arrays |= {f"{MOVES}{name}": move.astype(np.float16) for name, move in voice.moves.items()}
    for number, take in enumerate(voice.takes):
        arrays[f"frames{number}"] = take.frames.astype(np.float16)
        arrays[f"colour{number}"] = take.colour.astype(np.float32)
    part = path.with_suffix(".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(part, "wb", opener=_private_opener) as file:
            np.savez_compressed(file, allow_pickle=False, **arrays)
        part.replace(path)
    except OSError as error:
        raise VoiceInvalid(files.file_unwritable(path, error)) from error
    return path


def load_voice(name: str, folder: Path | None = None) -> Voice:
    """Read a voice; raises VoiceInvalid, with the command that enrols it, if it does not exist."""
    path = voice_file(name, folder)
    again = f'callout mic --enrol "{checked_name(name)}"'
    if not path.exists():
        there = ", ".join(voice.name for voice in enrolled_voices(folder))
        known = sentences.enrolled_voices(there) if there else ""
        raise VoiceInvalid(sentences.no_voice_enrolled_as(name), f"{known}Enrol it: {again}")
    return _read_voice(path, again)


def _read_voice(path: Path, again: str) -> Voice:
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as data:
            about = json.loads(bytes(data["about"]))
            if about["version"] != VERSION:
                raise ValueError(f"its version is {about['version']}, not {VERSION}")
            takes = tuple(
                VoiceTake(word, data[f"frames{n}"].astype(np.float32), data[f"colour{n}"])
                for n, word in enumerate(map(str, about["words"]))
            )
            layers = [name for name in data.files if name.startswith(MOVES)]
            moves = {n.removeprefix(MOVES): data[n].astype(np.float32) for n in layers}
    except (OSError, ValueError, KeyError, TypeError, EOFError, zipfile.BadZipFile) as error:
        raise VoiceInvalid(
            files.file_cannot_be_read(path, error), f"Enrol again: {again}"
        ) from error
    return Voice(str(about["name"]), takes, moves, str(about.get("moved_from", "")))


def enrolled_voices(folder: Path | None = None) -> Iterator[Voice]:
    """Yield every voice that can be read, by file name."""
    for path in sorted((folder or voices_folder()).glob("*.npz")):
        try:
            yield _read_voice(path, "callout mic --enrol NAME")
        except VoiceInvalid:
            continue


def forget_voice(name: str, folder: Path | None = None) -> None:
    """Delete a voice; raises VoiceInvalid if there is none of that name."""
    path = voice_file(name, folder)
    try:
        path.unlink()
    except FileNotFoundError:
        raise VoiceInvalid(
            sentences.no_voice_enrolled_as(name), "See: callout mic --voices"
        ) from None
    except OSError as error:
        raise VoiceInvalid(sentences.file_not_deleted(path, error)) from error


def _private_opener(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
