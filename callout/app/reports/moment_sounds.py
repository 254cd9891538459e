"""Kept replies: put into a page, and played."""

from __future__ import annotations

import base64
from pathlib import Path, PurePath

from callout.core.sentences import kept_sound as sentences
from callout.errors import CalloutError
from callout.journal.sound_files import kept_sounds, sound_bytes


def sound_address(path: PurePath) -> str:
    """Return a kept sound as an address that contains it whole; empty if it cannot be read."""
    try:
        return f"data:audio/wav;base64,{base64.b64encode(sound_bytes(Path(path))).decode()}"
    except CalloutError:
        return ""


def sound_of(journal: Path, number: int) -> Path:
    """Return the sound of a record; raises CalloutError naming those that there are."""
    known = kept_sounds(journal)
    if number not in known:
        said = sentences.no_such_sound(number, journal, ", ".join(map(str, sorted(known))))
        raise CalloutError(said, "" if known else sentences.KEEP_SOUND_HINT)
    return known[number]


def play_aloud(path: Path) -> None:
    """Play a kept sound to its end; raises CalloutError, with a hint, if nothing can be heard."""
    import io
    import threading
    import wave

    import numpy as np

    from callout.ports.hearing import SAMPLE_RATE
    from callout.speaking.outlets import found_outlet

    with wave.open(io.BytesIO(sound_bytes(path))) as sound:
        samples = np.frombuffer(sound.readframes(sound.getnframes()), "<i2").astype(np.float32)
    outlet = found_outlet()
    try:
        outlet.play([samples / np.float32(32_768)], SAMPLE_RATE, threading.Event())
    finally:
        outlet.close()
