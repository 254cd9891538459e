"""A checklist as written: sections, items and what they expect, before any flight is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from callout.core.model.conditions import Condition
from callout.core.model.expectation import ValueKind
from callout.core.model.list_words import ChangeKind as ChangeKind
from callout.core.model.list_words import Method as Method
from callout.core.model.list_words import Once as Once
from callout.core.model.list_words import Phase as Phase
from callout.core.model.list_words import Role as Role
from callout.core.model.state_quantity import Proof

FORMAT_VERSION = 1


@dataclass(frozen=True, slots=True)
class Origin:
    """Where something was written."""

    file: str = ""
    line: int = 1
    """Line of the file, 1 first."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


NOWHERE: Final = Origin()


@dataclass(frozen=True, slots=True)
class Change:
    """One overlay line that touched an item, a section or a part of the flow."""

    kind: ChangeKind
    origin: Origin


@dataclass(frozen=True, slots=True)
class Response:
    """One reply as written: words with ``{expression}`` in braces where a value belongs."""

    text: str
    """``flaps {takeoff_flap}``; a value alone is ``{qnh}`` or ``{1013}``."""
    unit: str | None = None
    """Unit the values are spoken in; None: the quantity's own."""
    tolerance: Decimal | None = None
    """Largest accepted absolute difference in ``unit``; None: the quantity's own."""
    tolerance_limit: Decimal | None = None
    """Never accept a larger difference than this, whatever the quantity says."""
    kind: ValueKind | None = None
    digits: int | None = None
    """Digits that must be said, such as 4 of a squawk; None: as the number is."""
    decimals: int | None = None
    """Decimals shown; None: as written."""
    unit_required: bool | None = None
    other_units: tuple[str, ...] = ()
    name: str = ""
    line: int = 1
    """Line of the file, 1 first."""


@dataclass(frozen=True, slots=True)
class WrongResponse:
    """A reply that must be named as wrong, and why."""

    response: Response
    because: str = ""


@dataclass(frozen=True, slots=True)
class Lead:
    """Replies to a question of a list, and where they lead."""

    responses: tuple[Response, ...]
    to: str
    """Id of a later section, name of an end, or ``next``."""
    line: int = 1
    """Line of the file, 1 first."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a list: a challenge and the replies it accepts."""

    id: str
    challenge: str
    """Text to show."""
    spoken: str
    """Text to say."""
    responses: tuple[Response, ...]
    also: tuple[Response, ...] = ()
    """Other accepted wordings, as this crew says them."""
    wrong: tuple[WrongResponse, ...] = ()
    responder: Role = Role.EITHER
    critical: bool = False
    actual_status: bool = False
    """True: a bare "checked" or "set" is not enough; by default as ``critical``."""
    as_required: bool = False
    """True: the reply may begin with "as required", but the chosen state must follow."""
    memory: bool = False
    """True: done from memory before the list is opened."""
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    why: str = ""
    """Why it is done, for anyone who asks."""
    names: tuple[str, ...] = ()
    """What else the control is called when it is recited from memory."""
    leads: tuple[Lead, ...] = ()
    """Where each reply leads, for a question that decides how the list continues."""
    panel: str = ""
    when: Condition | None = None
    once: Once | None = None
    needs: tuple[str, ...] = ()
    """Quantities that must be known before this item can be answered."""
    produces: tuple[str, ...] = ()
    """Quantities that are known once this item is answered."""
    proof: Proof | None = None
    """The state of the aircraft that proves the reply."""
    allowed: Mapping[str, str] = field(default_factory=dict)
    """Check rules that may be broken here, each with the reason."""
    origin: Origin = NOWHERE
    changes: tuple[Change, ...] = ()

    @property
    def line(self) -> int:
        """Line of the file it was written on."""
        return self.origin.line


@dataclass(frozen=True, slots=True)
class Section:
    """A few items that belong together."""

    title: str
    items: tuple[Item, ...]
    origin: Origin = NOWHERE
    changes: tuple[Change, ...] = ()
    id: str = ""
    """The id that leads refer to; empty: no lead goes here."""
    then: str = ""
    """Where the list continues after it; empty: with the next section."""


@dataclass(frozen=True, slots=True)
class FlowAction:
    """One control of a flow and where it goes."""

    control: str
    position: str
    rest: str = ""
    """The position it normally rests in; empty when there is none."""
    when: Condition | None = None
    why: str = ""
    proof: Proof | None = None
    """The state of the aircraft that shows it there."""
    origin: Origin = NOWHERE
    changes: tuple[Change, ...] = ()

    @property
    def exception(self) -> bool:
        """True when the control does not stay at its rest position."""
        return self.rest.casefold() != self.position.casefold()


@dataclass(frozen=True, slots=True)
class FlowPanel:
    """One stop of a walk through the panels."""

    panel: str
    actions: tuple[FlowAction, ...]
    origin: Origin = NOWHERE
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Checklist:
    """One list of one phase of flight."""

    id: str
    title: str
    phase: Phase
    method: Method
    completion_call: str
    sections: tuple[Section, ...]
    triggers: tuple[str, ...] = ()
    """What a person says to call for it."""
    due: tuple[str, ...] = ()
    """Points in the flight, as called out, at which it is due."""
    follows: tuple[str, ...] = ()
    """Ids of lists that come before it."""
    responder: Role = Role.EITHER
    when: Condition | None = None
    on_call: bool = False
    flow: tuple[FlowPanel, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    ends: Mapping[str, str] = field(default_factory=dict)
    """Completion calls of the ends that have one of their own."""
    contrasts: tuple[tuple[str, ...], ...] = ()
    synonyms: Mapping[str, str] = field(default_factory=dict)
    allowed: Mapping[str, str] = field(default_factory=dict)
    """Check rules that may be broken here, each with the reason."""
    origin: Origin = NOWHERE
    overlays: tuple[str, ...] = ()  # names of those merged in

    @property
    def items(self) -> tuple[Item, ...]:
        """All items in order."""
        return tuple(item for section in self.sections for item in section.items)

    @property
    def any_time(self) -> bool:
        """True when it is used whenever it is called for, and has no place in the order of a
        flight.
        """
        return self.on_call or self.phase is Phase.NON_NORMAL

    def item(self, item_id: str) -> Item:
        """Return the item with ``item_id``; raise KeyError when there is none."""
        return {item.id: item for item in self.items}[item_id]
