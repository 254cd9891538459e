"""An overlay on a base list: it adds, moves, rewords and tightens, and never removes."""

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
    """Where an item goes: next to another one, or at one end of a section."""

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
    """An item moved to another place."""

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
    """Texts with the same values, which keep their units and tolerances."""
    cautions: tuple[str, ...] = ()
    """Added to those of the item."""
    notes: tuple[str, ...] = ()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Tighten:
    """A stricter version of the same item; None keeps what the base list says."""

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
    """The state that proves the reply, if the base list names none."""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Accept:
    """One more wording of the same reply, and who accepted it."""

    item_id: str
    also: str
    """Wording around the item's own values."""
    by: str = ""
    date: str = ""
    confirmed: bool = False
    """True: accepted twice, as a critical item needs."""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Among:
    """Where a part goes among others of its kind: next to one, first, or else last."""

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
    """One more control at a stop of the flow."""

    action: FlowAction
    panel: str
    place: Among = Among()
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class MovePanel:
    """A stop of the flow moved to another place, with everything done there."""

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
