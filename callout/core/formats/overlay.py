"""An overlay on a base list: it adds, moves, rewords, tightens or words again, never removes."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from callout.core.model.checklist import (
    NOWHERE,
    FlowAction,
    FlowPanel,
    Item,
    Origin,
    Role,
    Section,
    WrongResponse,
)
from callout.core.model.state_quantity import Proof


@dataclass(frozen=True, slots=True)
class Place:
    """Where an item goes: beside another one, or at an end of a section."""

    before: str = ""
    after: str = ""
    section: str = ""
    first: bool = False
    """With ``section``: at its top instead of its end."""


@dataclass(frozen=True, slots=True)
class Add:
    """A new item."""

    item: Item
    place: Place
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Move:
    """An item in another place."""

    item_id: str
    place: Place
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Reword:
    """Other words for the same thing; None keeps what the base list says."""

    item_id: str
    challenge: str | None = None
    spoken: str | None = None
    responses: tuple[str, ...] | None = None
    """Texts around the same values, which keep their units and tolerances."""
    cautions: tuple[str, ...] = ()
    """Added to the item's own."""
    notes: tuple[str, ...] = ()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Tighten:
    """More asked of the same item; None keeps what the base list says."""

    item_id: str
    critical: bool = False
    actual_status: bool = False
    tolerance: Decimal | None = None
    only: tuple[str, ...] | None = None
    """The accepted replies that remain."""
    wrong: tuple[WrongResponse, ...] = ()
    responder: Role | None = None
    always: bool = False
    """True: due at every run, whatever the set-up and whenever it was last done."""
    proof: Proof | None = None
    """The state that proves the reply, where the base list names none."""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Accept:
    """One more wording of the same reply, and who let it in."""

    item_id: str
    also: str
    """Words around the item's own values."""
    by: str = ""
    date: str = ""
    confirmed: bool = False
    """True: said twice, as a critical item needs."""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Among:
    """Where a part goes among its like: beside another one, first, or else last."""

    before: str = ""
    after: str = ""
    first: bool = False


@dataclass(frozen=True, slots=True)
class AddSection:
    """A new section with its items."""

    section: Section
    place: Among = Among()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class AddPanel:
    """A new stop of the flow."""

    panel: FlowPanel
    place: Among = Among()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class AddAction:
    """One control more at a stop of the flow."""

    action: FlowAction
    panel: str
    place: Among = Among()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class MovePanel:
    """A stop of the flow in another place, with all that is done there."""

    panel: str
    place: Among
    origin: Origin = NOWHERE


OverlayChange = (
    Add | Move | Reword | Tighten | Accept | AddSection | AddPanel | AddAction | MovePanel
)


@dataclass(frozen=True, slots=True)
class Overlay:
    """One operator's changes to one list, in order."""

    title: str
    base: str
    """Id of the list it changes."""
    changes: tuple[OverlayChange, ...]
    completion_call: str = ""
    triggers: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    origin: Origin = NOWHERE
