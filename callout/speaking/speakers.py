"""The speaker that a person's settings name."""

from __future__ import annotations

from functools import partial

from callout.speaking.embedded.rendering import FIRST, SECOND, Timbre
from callout.speaking.embedded_voice import EmbeddedVoice
from callout.speaking.outlets import found_outlet
from callout.speaking.played_log import PlayedLog
from callout.speaking.voice import ChildVoice

BUILT_IN, BUILT_IN_LOW, PLATFORM = "built-in", "built-in low", "platform"
"""The embedded voice, a deeper version of it, and the platform's usual voice."""


def speaker_of(
    name: str, *, rate: int, volume: float, log: PlayedLog | None = None
) -> EmbeddedVoice | ChildVoice:
    """Return the voice of that name; empty: the embedded one. Any other is the platform's.

    log: keeps what the embedded voice plays.
    """
    timbre = timbre_of(name)
    if timbre is not None:
        outlet = partial(found_outlet, log=log)
        return EmbeddedVoice(rate=rate, volume=volume, timbre=timbre, outlet=outlet)
    wanted = None if _plain_name(name) == PLATFORM else name
    return ChildVoice(rate=rate, volume=volume, voice=wanted)


def timbre_of(name: str) -> Timbre | None:
    """Return how an embedded voice sounds; None for a voice of the platform."""
    return {"": FIRST, BUILT_IN: FIRST, BUILT_IN_LOW: SECOND}.get(_plain_name(name))


def _plain_name(name: str) -> str:
    return " ".join(name.casefold().split())
