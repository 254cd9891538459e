"""The sound of replies that a person asked to keep."""

from __future__ import annotations

from pathlib import PurePath

SOUND_IS_KEPT = "The sound of your replies is kept on this machine."


def sound_not_kept(error: Exception) -> str:
    why = str(error).rstrip(".")
    return f"The sound of replies is no longer kept: {why}. The session continues."


def leads_elsewhere(path: PurePath) -> str:
    return f"{path} is a link, which is not ours"


def no_such_sound(number: int, journal: PurePath, known: str) -> str:
    kept = f"it has {known}" if known else "it has none"
    return f"Record {number} of {journal} has no sound; {kept}."


KEEP_SOUND_HINT = (
    "To keep the sound of replies from now on: callout settings hearing.keep_sound true"
)


def sounds_told(count: int, size: str, folder: PurePath) -> str:
    return f"Sound kept: {count} of the replies, {size}, in {folder}"


def sound_number(number: int) -> str:
    return f"[sound {number}]"


def sound_unreadable(path: PurePath, error: Exception) -> str:
    return f"{path} is not a readable sound: {str(error).rstrip('.') or 'it ends too early'}."


def not_a_kept_sound(path: PurePath) -> str:
    return f"{path} is not the sound of a reply."
