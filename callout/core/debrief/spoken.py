"""A debrief for reading aloud."""

from __future__ import annotations

from callout.core.debrief.session import Group, SessionReport, session_headline
from callout.core.model.counting import counted_noun


def spoken_lines(report: SessionReport) -> tuple[str, ...]:
    """Return a short summary for reading aloud."""
    lines = [session_headline(x.session) for x in report.debriefs]
    for debrief in report.debriefs:
        lines += [_group_names(g) for g in debrief.groups if g.name in _WORTH_SAYING]
    advice = [a for x in report.debriefs for a in x.advice]
    return (*lines, *(f"Next: {a.text}" for a in advice[:2]))


_WORTH_SAYING = (
    "Wrong replies",
    "Said, not set",
    "Skipped",
    "Skipped for a reason",
    "Left open",
    "Out of order",
    "Too fast to have looked",
)
_MOST_SAID = 3


def _group_names(group: Group) -> str:
    names = [item.challenge for item, _ in group.lines[:_MOST_SAID]]
    more = len(group.lines) - len(names)
    rest = f", and {counted_noun(more, 'more item')}" if more else ""
    return f"{group.name}: {', '.join(names)}{rest}."
