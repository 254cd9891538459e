"""Rules about the paths through a list: every part is reachable, and every path has an end."""

from __future__ import annotations

from collections.abc import Iterator

from callout.core.lint.finding import Remark, Subject
from callout.core.model.list_routes import END, end_named, nodes_reached, routes_of
from callout.core.sentences import check_findings as sentences


def never_reached(subject: Subject) -> Iterator[Remark]:
    """An item, or an end, that no answer leads to."""
    checklist = subject.checklist
    if not checklist.items:
        return
    on_a_way = nodes_reached(routes_of(checklist), [checklist.items[0].id])
    for item in checklist.items:
        if item.id not in on_a_way:
            said = f'no answer leads to "{item.challenge}".'
            hint = sentences.NEVER_REACHED_HINT
            yield Remark(item.line, said, hint, item.id)
    for name in checklist.ends:
        if end_named(name) not in on_a_way:
            said = f'no answer leads to the end "{name}".'
            yield Remark(checklist.origin.line, said, sentences.UNREACHED_END_HINT)


def unnamed_end(subject: Subject) -> Iterator[Remark]:
    """A path that runs out at the end of the file in a list whose other paths have named ends."""
    checklist = subject.checklist
    if not checklist.ends or not checklist.items:
        return
    routes = routes_of(checklist)
    on_a_way = nodes_reached(routes, [checklist.items[0].id])
    for item in checklist.items:
        if item.id in on_a_way and END in routes[item.id]:
            said = f'the way by "{item.challenge}" has no end of its own.'
            hint = sentences.UNNAMED_END_HINT
            yield Remark(item.line, said, hint, item.id)


def one_way(subject: Subject) -> Iterator[Remark]:
    """A question whose answers all lead to the same place."""
    routes = routes_of(subject.checklist)
    for item in subject.checklist.items:
        if item.leads and len(routes[item.id]) == 1:
            said = f'every answer to "{item.challenge}" leads to the same place.'
            hint = sentences.ONE_WAY_HINT
            yield Remark(item.line, said, hint, item.id)
