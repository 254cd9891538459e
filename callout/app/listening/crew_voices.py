"""Whose voices a session knows, and who sits where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from callout.app.shared.settings import Settings, SettingsInvalid
from callout.core.model.checklist import Role
from callout.core.sentences import sound as sentences

if TYPE_CHECKING:
    from callout.hearing.voices import Voice


@dataclass(frozen=True, slots=True)
class CrewVoices:
    """Enrolled voices of the people who may reply."""

    voices: tuple[Voice, ...] = ()
    seats: Mapping[str, Role] = field(default_factory=dict)
    """Seat of each person, by name; empty unless two are known."""


def crew_voices(settings: Settings) -> CrewVoices:
    """Return the configured voices: hearing.voice, or crew.left and crew.right; none if unset.

    A voice is never used just because it is the only one enrolled: a guest's replies would be
    compared with somebody else's voice.

    Raises VoiceInvalid, with the command that enrols it, if a configured one does not exist.
    """
    from callout.hearing.voices import load_voice

    left, right = settings.left_voice, settings.right_voice
    if left and right:
        voices = (load_voice(left), load_voice(right))
        if voices[0].name == voices[1].name:
            raise SettingsInvalid(sentences.same_voice_twice(left), sentences.NAME_TWO_VOICES)
        seats = {voices[0].name: Role.LEFT_SEAT, voices[1].name: Role.RIGHT_SEAT}
        return CrewVoices(voices, seats)
    chosen = settings.own_voice or left or right
    return CrewVoices((load_voice(chosen),)) if chosen else CrewVoices()
