"""Sections and flow stops that an overlay adds or moves; it never removes one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NoReturn, TypeVar

from callout.core.formats.overlay import AddAction, AddPanel, AddSection, Among, MovePanel
from callout.core.model.checklist import (
    Change,
    ChangeKind,
    Checklist,
    FlowAction,
    FlowPanel,
    Method,
    Origin,
    Role,
    Section,
)
from callout.core.model.problems import FileProblems, Problem
from callout.core.model.shapes import did_you_mean
from callout.core.planning.consistency import plain_text
from callout.core.sentences import overlays as sentences
from callout.core.sentences import sound_devices

Part = TypeVar("Part")


def change_parts(
    checklist: Checklist, change: AddSection | AddPanel | AddAction | MovePanel
) -> Checklist:
    """Return ``checklist`` with one such change; raise FileProblems at the overlay's line."""
    match change:
        case AddSection():
            return replace(checklist, sections=_with_section(checklist, change))
        case AddPanel():
            return replace(checklist, flow=_with_panel(checklist, change))
        case AddAction():
            return replace(checklist, flow=_with_action(checklist.flow, change))
        case MovePanel():
            return replace(checklist, flow=_with_moved(checklist.flow, change))


def refuse_change(origin: Origin, message: str, hint: str) -> NoReturn:
    """Raise FileProblems at ``origin``."""
    raise FileProblems([Problem(origin.file, origin.line, message, hint)])


def _with_section(checklist: Checklist, change: AddSection) -> tuple[Section, ...]:
    added = (Change(ChangeKind.ADDED, change.origin),)
    known = {item.id: item for item in checklist.items}
    for item in change.section.items:
        if item.id in known:
            said = f'the id "{item.id}" is already used at {known[item.id].origin}.'
            refuse_change(item.origin, said, sentences.ADDED_ID_HINT)
    items = tuple(
        replace(
            item,
            responder=checklist.responder if item.responder is Role.EITHER else item.responder,
            changes=added,
        )
        for item in change.section.items
    )
    section = replace(change.section, items=items, changes=added)
    titles = [section.title for section in checklist.sections]
    at = _place_index(titles, "section", change.place, change.origin)
    return _insert_part(checklist.sections, section, at)


def _with_panel(checklist: Checklist, change: AddPanel) -> tuple[FlowPanel, ...]:
    if checklist.method is not Method.FLOW_THEN_VERIFY:
        said = f'the method of "{checklist.id}" is {checklist.method.value}, which has no flow.'
        refuse_change(change.origin, said, sentences.NO_FLOW_HINT)
    for panel in checklist.flow:
        if plain_text(panel.panel) == plain_text(change.panel.panel):
            said = f'the flow already stops at "{panel.panel}" ({panel.origin}).'
            refuse_change(change.origin, said, sentences.PANEL_EXISTS_HINT)
    added = replace(change.panel, changes=(Change(ChangeKind.ADDED, change.origin),))
    at = _place_index([p.panel for p in checklist.flow], "panel", change.place, change.origin)
    return _insert_part(checklist.flow, added, at)


def _with_action(flow: tuple[FlowPanel, ...], change: AddAction) -> tuple[FlowPanel, ...]:
    where = _found_index([p.panel for p in flow], "panel", change.panel, change.origin)
    panel = flow[where]
    for action in panel.actions:
        if plain_text(action.control) == plain_text(change.action.control) and not _is_apart(
            action, change
        ):
            said = f'"{action.control}" already goes to "{action.position}" ({action.origin}).'
            hint = sentences.POSITION_HINT
            refuse_change(change.origin, said, hint)
    added = replace(change.action, changes=(Change(ChangeKind.ADDED, change.origin),))
    controls = [action.control for action in panel.actions]
    at = _place_index(controls, "control", change.place, change.origin)
    wider = replace(panel, actions=_insert_part(panel.actions, added, at))
    return (*flow[:where], wider, *flow[where + 1 :])


def _is_apart(action: FlowAction, change: AddAction) -> bool:
    one, other = action.when, change.action.when
    return one is not None and other is not None and one.text != other.text


def _with_moved(flow: tuple[FlowPanel, ...], change: MovePanel) -> tuple[FlowPanel, ...]:
    where = _found_index([p.panel for p in flow], "panel", change.panel, change.origin)
    if plain_text(change.panel) in {
        plain_text(change.place.before),
        plain_text(change.place.after),
    }:
        refuse_change(
            change.origin,
            f'"{change.panel}" cannot go beside itself.',
            sentences.PANEL_BESIDE_ITSELF_HINT,
        )
    panel = flow[where]
    changes = (*panel.changes, Change(ChangeKind.MOVED, change.origin))
    rest = (*flow[:where], *flow[where + 1 :])
    at = _place_index([p.panel for p in rest], "panel", change.place, change.origin)
    return _insert_part(rest, replace(panel, changes=changes), at)


def _insert_part(parts: tuple[Part, ...], part: Part, at: int) -> tuple[Part, ...]:
    return (*parts[:at], part, *parts[at:])


def _place_index(names: Sequence[str], noun: str, place: Among, origin: Origin) -> int:
    """Return the index at which a new part goes among ``names``."""
    if place.before:
        return _found_index(names, noun, place.before, origin)
    if place.after:
        return _found_index(names, noun, place.after, origin) + 1
    return 0 if place.first else len(names)


def _found_index(names: Sequence[str], noun: str, name: str, origin: Origin) -> int:
    places = [at for at, known in enumerate(names) if plain_text(known) == plain_text(name)]
    if len(places) == 1:
        return places[0]
    if places:
        said = f'there are {len(places)} times "{name}", so it is not clear which is meant.'
        refuse_change(origin, said, sentences.UNKNOWN_NEIGHBOUR_HINT)
    known = [name for name in names if name]
    hint = did_you_mean(name, known) or sound_devices.there_are(", ".join(known) or "none")
    refuse_change(origin, f'there is no {noun} "{name}".', hint)
