"""A checklist made ready for one flight: what is asked, in which order, of whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from callout.core.model.checklist import Method, Once, Phase, Role
from callout.core.model.expectation import Answer, Expectation, Value
from callout.core.planning.basis import Basis
from callout.core.planning.proofs import PlannedProof

__all__ = ["Plan", "PlannedControl", "PlannedItem", "PlannedLead", "PlannedPanel", "Role", "Wait"]


@dataclass(frozen=True, slots=True)
class Wait:
    """A quantity that an earlier item makes known."""

    quantity: str
    """What a person calls it."""
    item_id: str
    challenge: str


@dataclass(frozen=True, slots=True)
class PlannedLead:
    """Replies to a question, and the item or end that comes after them."""

    replies: tuple[Answer, ...]
    to: str


@dataclass(frozen=True, slots=True)
class PlannedItem:
    """One item with everything resolved."""

    id: str
    challenge: str
    """Text to show."""
    spoken: str
    """Text to say."""
    expectation: Expectation
    section: str = ""
    role: Role = Role.EITHER
    critical: bool = False
    replies: int = 1
    """Number of right replies that settle it (2: both seats answer)."""
    applicable: bool = True
    why_not: str = ""
    """The condition that drops it, as written in the list, or when it was done."""
    done: str = ""
    """"done today at 06:40", for an item due only once."""
    missing: tuple[str, ...] = ()
    """Quantities that must be known first, with their sources; until then no reply fits."""
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    panel: str = ""
    waits: tuple[Wait, ...] = ()
    """Earlier items that must be answered first, because they make a quantity known."""
    once: Once | None = None
    """How often it is due, if not on every run."""
    produces: tuple[str, ...] = ()
    """Quantities that are known once it is answered."""
    hangs_on: tuple[str, ...] = ()
    """Facts and figures that decide whether and how it is answered."""

    why: str = ""
    """Why it is done, for anyone who asks."""
    leads: tuple[PlannedLead, ...] = ()
    """Where each reply leads, for a question that decides how the list continues."""
    then: str = ""
    """What comes after it, if not the next item: an item or an end."""
    memory: bool = False
    """Done from memory before the list is read."""
    names: tuple[str, ...] = ()
    """Other names of the control, used when it is recited."""
    proof: PlannedProof | None = None
    """The state of the aircraft that proves the reply."""

    @property
    def accepted_texts(self) -> tuple[str, ...]:
        """The right replies, as written, values filled in."""
        return tuple(answer.text for answer in self.expectation.accepted)

    @property
    def wants_value(self) -> bool:
        """True when a number is part of the reply."""
        parts = (part for answer in self.expectation.accepted for part in answer.parts)
        return any(isinstance(part, Value) for part in parts)


@dataclass(frozen=True, slots=True)
class PlannedControl:
    """One control of a flow."""

    control: str
    position: str
    exception: bool = True
    """It does not stay at its rest position."""
    why: str = ""
    proof: PlannedProof | None = None


@dataclass(frozen=True, slots=True)
class PlannedPanel:
    """One stop of a flow."""

    panel: str
    exceptions: tuple[str, ...] = ()
    """Controls that leave their rest position, as "control: position"."""
    controls: tuple[PlannedControl, ...] = ()
    """Every control in order; empty in plans of earlier versions."""
    lacking: tuple[str, ...] = ()
    """Controls left out because the simulator does not have them."""
    place: tuple[float, float] | None = None
    """Centimetres right of the left seat, and up; None if the flight does not say."""


@dataclass(frozen=True, slots=True)
class Plan:
    """One run of one list."""

    list_id: str
    title: str
    items: tuple[PlannedItem, ...]
    completion_call: str
    method: Method = Method.CHALLENGE_AND_RESPONSE
    flow: tuple[PlannedPanel, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    ends: Mapping[str, str] = field(default_factory=dict)
    """Completion calls of the ends that have one of their own."""
    phase: Phase | None = None
    """None in plans of earlier versions."""
    basis: Basis | None = None
    """What it is based on; None in plans of earlier versions."""

    def index(self, item_id: str) -> int | None:
        """Return the index of ``item_id``, or None if the list has no such item."""
        return next((n for n, item in enumerate(self.items) if item.id == item_id), None)
