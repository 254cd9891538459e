"""What happens to a drill in addition to what happens to any conversation."""

from __future__ import annotations

from dataclasses import dataclass, field

from callout.core.conversation.events import Event
from callout.core.drill.exercise import Exercise
from callout.core.drill.waiting import Lot


@dataclass(frozen=True, slots=True)
class DrillStarted(Event):
    """A drill begins."""

    drill_id: str
    exercises: tuple[Exercise, ...]
    minutes: float
    """Most time for it; what is being asked then is still answered."""
    about: dict[str, str] = field(default_factory=dict)
    quiet: bool = False
    lots: tuple[Lot, ...] = ()
    """Drawn before: which items wait, and which of those asked might have."""
