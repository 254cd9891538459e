"""How flows and what is recited from memory went so far."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.conversation.pacing import FlowMode


@dataclass(frozen=True, slots=True)
class PanelProgress:
    """One panel of a flow that is done."""

    panel: str
    seconds: float
    misses: int = 0
    """Other panels named first, where it was asked for from memory."""
    told: bool = False


@dataclass(frozen=True, slots=True)
class ControlProgress:
    """One control of a flow that was said from memory, or told."""

    panel: str
    control: str
    misses: int = 0
    told: bool = False


@dataclass(frozen=True, slots=True)
class FlowPast:
    """What the journals say of one person and one flow."""

    passed: frozenset[FlowMode] = frozenset()
    """Stages whose last try was passed."""
    best: float | None = None
    """Shortest time from the call to the end, without help, in seconds."""


@dataclass(frozen=True, slots=True)
class MemoryProgress:
    """How reciting what is done from memory went so far."""

    began: float | None = None
    done: bool = False
    seconds: float | None = None
    """From the call for the list to the last item."""
    told: tuple[str, ...] = ()
    """Items that had to be told."""
    left_out: tuple[str, ...] = ()
    """Items that were not said."""
    wrong: int = 0
    early: int = 0
    """Items said before their turn."""
    misses: int = 0
    """Wrong words since the last item that was right."""
