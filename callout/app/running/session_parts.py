"""The adapters of one session."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from callout.app.running.speech import Speech
from callout.app.running.tones import NoTones, Tones
from callout.core.model.candidates import CandidateSet
from callout.ports.clock import Clock
from callout.ports.journal import Journal
from callout.ports.keys import Keys
from callout.ports.listening import Listener
from callout.ports.sounds import SoundStore
from callout.ports.state import StateSource
from callout.ports.view import View


class Deaf:
    """A listener for sessions without a microphone."""

    name = ""

    def start(self, sink: object) -> None:
        """Nothing to open."""

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Nothing listens."""

    def stop_listening(self) -> None:
        """Nothing listens."""

    def tool_speaks(self, now: bool) -> None:
        """Nothing listens."""

    def taken(self) -> None:
        """Nothing was heard."""

    def close(self) -> None:
        """Nothing to stop."""


class NoState:
    """No aircraft reports its state."""

    name = ""

    def start(self, sink: object) -> None:
        """Nothing to open."""

    def asked(self, item_id: str, attempt: int = 1) -> None:
        """Ignored: nothing depends on it."""

    def close(self) -> None:
        """Nothing to stop."""


class NoSounds:
    """The sound of replies is not kept."""

    said = ""

    def keep(self, journal: Path, seq: int, sound: object) -> str:
        """Nothing is kept."""
        return ""


@dataclass(frozen=True, slots=True)
class Parts:
    """The adapters of one session."""

    journal: Journal
    view: View
    keys: Keys
    speech: Speech
    clock: Clock
    listener: Listener
    tones: Tones = field(default_factory=NoTones)
    state: StateSource = field(default_factory=NoState)
    sounds: SoundStore = field(default_factory=NoSounds)
