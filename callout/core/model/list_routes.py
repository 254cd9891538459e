"""The paths through a list as written: where its questions lead, and where the paths end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from callout.core.model.checklist import Checklist, Item, Section
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import list_format as sentences

NEXT = "next"
"""Lead to the next item."""
END = "@end"
"""The node after the last item; ``@end:NAME`` for an end with a name."""

Routes = Mapping[str, tuple[str, ...]]
"""The nodes (item ids and ends) that can follow each item."""


def end_named(name: str) -> str:
    """Return the node of an end."""
    return f"{END}:{name}"


def routes_of(checklist: Checklist) -> Routes:
    """Return the nodes that can follow each item; leads to unknown places are left out."""
    targets = _route_targets(checklist)
    found: dict[str, tuple[str, ...]] = {}
    for section, item, following in _in_order(checklist.sections):
        last = section.items[-1] is item
        usual = targets.get(section.then, following) if last and section.then else following
        asked = [usual if lead.to == NEXT else targets.get(lead.to) for lead in item.leads]
        found[item.id] = tuple(dict.fromkeys(n for n in asked if n)) if item.leads else (usual,)
    return found


def nodes_reached(routes: Routes, start: Iterable[str]) -> frozenset[str]:
    """Return every node reachable from ``start``, including ``start``."""
    found: set[str] = set()
    waiting = list(start)
    while waiting:
        node = waiting.pop()
        if node not in found:
            found.add(node)
            waiting += routes.get(node, ())
    return frozenset(found)


def check_routes(checklist: Checklist, report: ProblemReport) -> None:
    """Report leads to unknown places and leads backwards: a list only moves forward, so every path
    ends.
    """
    _check_names(checklist, report)
    places = {section.id: n for n, section in enumerate(checklist.sections) if section.id}
    for at, section in enumerate(checklist.sections):
        leads = [(lead.to, lead.line) for item in section.items for lead in item.leads]
        leads += [(section.then, section.origin.line)] if section.then else []
        for to, line in leads:
            if to == NEXT or to in checklist.ends:
                continue
            if to not in places:
                known = (*places, *checklist.ends)
                hint = did_you_mean(to, known) or sentences.sections_and_ends(
                    ", ".join(known) or "none"
                )
                report.add(line, "", f'"{to}" is no section and no end of this list.', hint)
            elif places[to] <= at:
                fault = f'it leads back to "{to}": that way might never end.'
                report.add(line, "", fault, sentences.LEAD_BACK_HINT)


def _check_names(checklist: Checklist, report: ProblemReport) -> None:
    seen = {NEXT, *checklist.ends}
    for section in checklist.sections:
        if section.id and section.id in seen:
            fault = f'"{section.id}" is already the name of a section or an end.'
            report.add(section.origin.line, "", fault, sentences.ROUTE_NAMES_HINT)
        seen.add(section.id)


def _route_targets(checklist: Checklist) -> dict[str, str]:
    found = {name: end_named(name) for name in checklist.ends}
    return found | {s.id: s.items[0].id for s in checklist.sections if s.id}


def _in_order(sections: tuple[Section, ...]) -> Iterator[tuple[Section, Item, str]]:
    """Yield each item in written order, with its section and the next node."""
    pairs = [(section, item) for section in sections for item in section.items]
    after = [*(item.id for _, item in pairs[1:]), END]
    for (section, item), following in zip(pairs, after, strict=False):
        yield section, item, following
