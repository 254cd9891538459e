"""A checklist as lines for a person: what is said, what is due, and where it was written."""

from __future__ import annotations

from dataclasses import dataclass

from callout.core.language.tables import Tables
from callout.core.model.checklist import (
    Change,
    Checklist,
    FlowAction,
    FlowPanel,
    Item,
    Once,
    Origin,
    Role,
    Section,
)
from callout.core.model.conditions import condition_applies
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.planning.resolve import answer_for
from callout.errors import ChecklistInvalid

_ONCE = {
    Once.DAY: "once a day",
    Once.POWER_UP: "once per power-up",
    Once.CREW: "once per crew",
}


@dataclass(frozen=True, slots=True)
class ShownItem:
    """One item in words."""

    number: int
    """From 1, counted through all sections."""
    id: str
    challenge: str
    response: str
    """Accepted replies, with known values filled in."""
    critical: bool
    remarks: tuple[str, ...]
    """Who answers if not the usual person, when it applies, how often it is due."""
    wrong: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    origin: Origin
    changes: tuple[Change, ...]
    """What overlays did, each with file and line."""


@dataclass(frozen=True, slots=True)
class ShownSection:
    """A section in words."""

    title: str
    items: tuple[ShownItem, ...]
    origin: Origin
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class ShownAction:
    """One control of a flow in words."""

    text: str
    origin: Origin
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class ShownPanel:
    """One stop of a flow in words."""

    panel: str
    steps: tuple[ShownAction, ...]
    origin: Origin
    changes: tuple[Change, ...] = ()

    @property
    def actions(self) -> tuple[str, ...]:
        """What is done there, in order."""
        return tuple(step.text for step in self.steps)


@dataclass(frozen=True, slots=True)
class ShownList:
    """A list in words."""

    title: str
    facts: tuple[tuple[str, str], ...]
    flow: tuple[ShownPanel, ...]
    sections: tuple[ShownSection, ...]
    completion_call: str
    files: tuple[str, ...]
    """Every file that contributed a line."""


def shown_list(checklist: Checklist, flight: Flight | None, tables: Tables) -> ShownList:
    """Return ``checklist`` in words; without a flight, values stay in braces."""
    return ShownList(
        checklist.title,
        _list_facts(checklist),
        tuple(_shown_panel(panel) for panel in checklist.flow),
        _shown_sections(checklist, flight, tables),
        checklist.completion_call,
        _source_files(checklist),
    )


def _source_files(checklist: Checklist) -> tuple[str, ...]:
    origins = [checklist.origin]
    parts: list[Item | Section | FlowPanel | FlowAction] = [*checklist.items, *checklist.sections]
    for panel in checklist.flow:
        parts += [panel, *panel.actions]
    for part in parts:
        origins += [part.origin, *(change.origin for change in part.changes)]
    return tuple(dict.fromkeys(origin.file for origin in origins))


def _shown_panel(panel: FlowPanel) -> ShownPanel:
    steps = (ShownAction(_action_text(a), a.origin, a.changes) for a in panel.actions)
    return ShownPanel(panel.panel, tuple(steps), panel.origin, panel.changes)


def _action_text(action: FlowAction) -> str:
    rest = f" (rests {action.rest})" if action.rest and action.exception else ""
    when = f" if {action.when.text}" if action.when else ""
    return f"{action.control} {action.position}{rest}{when}"


def _shown_sections(
    checklist: Checklist, flight: Flight | None, tables: Tables
) -> tuple[ShownSection, ...]:
    number = 0
    sections = []
    for section in checklist.sections:
        items = []
        for item in section.items:
            number += 1
            items.append(_shown_item(number, item, checklist.responder, flight, tables))
        shown = ShownSection(section.title, tuple(items), section.origin, section.changes)
        sections.append(shown)
    return tuple(sections)


def _list_facts(checklist: Checklist) -> tuple[tuple[str, str], ...]:
    pairs = [
        ("Phase", checklist.phase.value),
        ("Method", checklist.method.value),
        ("Called by", ", ".join(f'"{call}"' for call in checklist.triggers)),
        ("Due at", ", ".join(f'"{moment}"' for moment in checklist.due)),
        ("Follows", ", ".join(checklist.follows)),
        ("Answered by", _role_words(checklist.responder)),
        ("Applies", checklist.when.text if checklist.when else ""),
        ("Overlays", ", ".join(checklist.overlays)),
        ("Caution", " ".join(checklist.cautions)),
        ("Note", " ".join(checklist.notes)),
    ]
    return tuple((name, value) for name, value in pairs if value)


def _shown_item(
    number: int, item: Item, usual: Role, flight: Flight | None, tables: Tables
) -> ShownItem:
    return ShownItem(
        number=number,
        id=item.id,
        challenge=item.challenge,
        response=" / ".join(_response_texts(item, flight, tables)),
        critical=item.critical,
        remarks=tuple(_item_remarks(item, usual, flight)),
        wrong=tuple(wrong.response.text for wrong in item.wrong),
        cautions=item.cautions,
        notes=item.notes,
        origin=item.origin,
        changes=item.changes,
    )


def _response_texts(item: Item, flight: Flight | None, tables: Tables) -> list[str]:
    texts = []
    for response in item.responses:
        try:
            texts.append(answer_for(response, item, flight or EMPTY_FLIGHT, tables).text)
        except ChecklistInvalid:
            texts.append(response.text)
    return texts


def _item_remarks(item: Item, usual: Role, flight: Flight | None) -> list[str]:
    remarks = [_role_words(item.responder)] if item.responder is not usual else []
    if item.when:
        dropped = flight is not None and condition_applies(item.when, flight) is False
        remarks.append(f"if {item.when.text}" + (": not on this flight" if dropped else ""))
    if item.once:
        remarks.append(_ONCE[item.once])
    if item.as_required:
        remarks.append("as required, state it")
    if item.memory:
        remarks.append("from memory")
    if item.proof:
        remarks.append(f"proved by {item.proof.expression}")
    if item.also:
        remarks.append(f"also {', '.join(response.text for response in item.also)}")
    return remarks


def _role_words(role: Role) -> str:
    words = {Role.EITHER: "either pilot", Role.BOTH: "both pilots"}
    return words.get(role, role.value.replace("-", " "))
