"""Events of a flight, in addition to those of every conversation."""

from __future__ import annotations

from dataclasses import dataclass, field

from callout.core.conversation.events import Event


@dataclass(frozen=True, slots=True)
class SectorStarted(Event):
    """A flight begins."""

    sector_id: str
    mark: str
    """Letters that name its journals."""
    title: str
    first: str = ""
    """The list to begin with, when not the first of the flight."""
    received: str = ""
    """The condition in which the aircraft is taken over from another crew, as stated."""
    about: dict[str, str] = field(default_factory=dict)
