"""Rules about length and order: too long, too late, or too far apart."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.lint.finding import Remark, Subject
from callout.core.lint.travel import (
    Place,
    panel_stops,
    panels_revisited,
    places_of,
    shortest_way,
    way_length,
)
from callout.core.model.checklist import Method
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import check_findings as sentences

MOST_ITEMS = 25
MOST_IN_A_SECTION = 9
MOST_BEFORE_CRITICAL = 6
"""Number of non-critical items after which a critical one is no longer early."""
FLOW_DETOUR = 1.5
"""A flow may be this many times as long as the shortest path past its panels."""
LIST_DETOUR = 3.0
"""The same for a list, whose order follows the systems first."""
FEWEST_RETURNS = 4
"""A list that returns to panels less often than this is not reported as a detour."""


def long_list(subject: Subject) -> Iterator[Remark]:
    """A list that is too long."""
    checklist = subject.checklist
    count = len(checklist.items)
    if count > MOST_ITEMS:
        said = f"the list has {count} items; crews seldom finish more than {MOST_ITEMS} in one go."
        hint = sentences.LONG_LIST_HINT
        yield Remark(checklist.origin.line, said, hint)


def long_section(subject: Subject) -> Iterator[Remark]:
    """A section without a break."""
    for section in subject.checklist.sections:
        count = len(section.items)
        if count > MOST_IN_A_SECTION:
            name = f'the section "{section.title}"' if section.title else "the list"
            said = sentences.long_section(name, count)
            hint = sentences.long_section_hint(MOST_IN_A_SECTION)
            yield Remark(section.origin.line, said, hint)


def critical_late(subject: Subject) -> Iterator[Remark]:
    """A critical item so late that an interruption may have come first."""
    if subject.checklist.method is Method.READ_AND_DO:
        return  # its order is the order of the actions
    before = 0
    for item in subject.checklist.items:
        if item.critical and before >= MOST_BEFORE_CRITICAL:
            said = f'"{item.challenge}" is critical and comes after {before} items that are not.'
            hint = sentences.CRITICAL_LATE_HINT
            yield Remark(item.line, said, hint, item.id)
        before += not item.critical


def flow_travel(subject: Subject) -> Iterator[Remark]:
    """A flow that jumps back and forth."""
    flow = subject.checklist.flow
    way = panel_stops([panel.panel for panel in flow])
    seen: set[str] = set()
    for panel in flow:
        if panel.panel in seen and panel.panel in panels_revisited(way):
            said = f'the flow comes back to "{panel.panel}".'
            hint = sentences.FLOW_TRAVEL_HINT
            yield Remark(panel.origin.line, said, hint)
        seen.add(panel.panel)
    if flow and not panels_revisited(way):
        yield from _find_detour(subject, way, flow[0].origin.line, FLOW_DETOUR, "flow")


def list_travel(subject: Subject) -> Iterator[Remark]:
    """A list whose items send the eyes across the cockpit and back."""
    if subject.checklist.method is Method.READ_AND_DO:
        return
    way = panel_stops([item.panel for item in subject.checklist.items])
    if len(panels_revisited(way)) >= FEWEST_RETURNS:
        line = subject.checklist.origin.line
        yield from _find_detour(subject, way, line, LIST_DETOUR, "list")


def unknown_panel(subject: Subject) -> Iterator[Remark]:
    """A panel that the flight file does not know."""
    if subject.flight is None or not subject.flight.panels:
        return
    known = subject.flight.panels
    named = [(panel.panel, panel.origin.line) for panel in subject.checklist.flow]
    named += [(item.panel, item.line) for item in subject.checklist.items if item.panel]
    for panel, line in named:
        if panel not in known:
            hint = did_you_mean(panel, known) or sentences.UNKNOWN_PANEL_HINT
            yield Remark(line, f'the flight file has no panel "{panel}".', hint)


def _find_detour(
    subject: Subject, way: tuple[str, ...], line: int, most: float, what: str
) -> Iterator[Remark]:
    places = _panel_places(subject)
    if len(way) < 3 or any(panel not in places for panel in way):
        return
    least, gone = shortest_way(way, places), way_length(way, places)
    if least and gone > most * least:
        said = f"the {what} travels {gone / least:.1f} times the shortest way past its panels."
        hint = sentences.LIST_TRAVEL_HINT
        yield Remark(line, said, hint)


def _panel_places(subject: Subject) -> dict[str, Place]:
    flight = subject.flight
    return places_of(flight.panels, flight.places) if flight else {}
