"""Events of a drill, in addition to those of every conversation."""

from __future__ import annotations

from dataclasses import dataclass, field

from callout.core.conversation.events import Event
from callout.core.drill.exercise import Exercise
from callout.core.drill.waiting_items import Lot


@dataclass(frozen=True, slots=True)
class DrillStarted(Event):
    """A drill begins."""

    drill_id: str
    exercises: tuple[Exercise, ...]
    minutes: float
    """Time limit; a question already open is still answered."""
    about: dict[str, str] = field(default_factory=dict)
    quiet: bool = False
    lots: tuple[Lot, ...] = ()
    """Drawn beforehand: which items wait, and which of those asked might have."""
