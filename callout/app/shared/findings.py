"""What the checks of a machine found, and what that makes possible."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class FindingState(Enum):
    """What a check found."""

    READY = "ready"
    CHECK = "check"
    """Works, but there is something worth knowing."""
    OPTIONAL = "optional"
    """Not there, but something else takes its place."""
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class MachineFinding:
    """The result of one check."""

    name: str
    state: FindingState
    message: str
    fix: str = ""
    """The command or step that fixes it; empty if ready."""


@dataclass(frozen=True, slots=True)
class MachineReport:
    """All findings, and what they make possible."""

    findings: tuple[MachineFinding, ...]

    def state(self, name: str) -> FindingState:
        """Return the state of one check; an unknown check counts as missing."""
        return next((f.state for f in self.findings if f.name == name), FindingState.MISSING)

    def _works(self, *names: str) -> bool:
        return all(self.state(name) in (FindingState.READY, FindingState.CHECK) for name in names)

    @property
    def can_hear(self) -> bool:
        """True when spoken replies can be understood."""
        engine = self._works("embedded recogniser") or self._works("vosk", "vosk models")
        return engine and self._works("microphone", "voice activity")

    @property
    def can_speak(self) -> bool:
        """True when challenges can be read aloud."""
        return self._works("voice")

    @property
    def can_run(self) -> bool:
        """True when a session can run at all, if only by keyboard and screen."""
        return self._works("python", "packages", "journal")
