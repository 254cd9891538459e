"""Reports as Markdown (CommonMark with tables), free text made harmless."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from callout.core.debrief.deviations import CLASSES, STUDY
from callout.core.debrief.session import Debrief, SessionReport, classes_of, ending_words
from callout.core.debrief.shown import duration, shown
from callout.reporting.page import under

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!$@]|:(?=//)|(?<=www)\.)")
_LEADING = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")


def md(text: str) -> str:
    """Return ``text`` so that nothing in it is markup, a link or an entity.

    CommonMark 0.31, section 2.4: any ASCII punctuation may follow a backslash.
    """
    safe = _MARKUP.sub(r"\\\1", shown(text))
    return _LEADING.sub(_unlisted, safe)


def _unlisted(found: re.Match[str]) -> str:
    """Return the beginning of a line so that it begins no list, rule or heading."""
    mark = found.group(2)
    return f"{found.group(1)}{mark}\\" if mark.isdigit() else f"{found.group(1)}\\{mark}"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Yield the lines of a table; cells are taken as they are."""
    yield f"| {' | '.join(head)} |"
    yield f"|{'|'.join(' --- ' for _ in head)}|"
    for row in rows:
        yield f"| {' | '.join(row)} |"
    yield ""


def debrief_markdown(report: SessionReport, safety: str) -> str:
    """Return the debrief of a session or flight."""
    return "\n".join(_lines(report, safety)) + "\n"


def _lines(report: SessionReport, safety: str) -> Iterator[str]:
    yield f"# Debrief: {md(report.title)}"
    yield ""
    yield md(under(report))
    yield ""
    for debrief in report.debriefs:
        yield from _session(debrief, bool(report.flight))
    yield "## Classes of deviation"
    yield ""
    found = classes_of(report)
    rows = ([CLASSES[d].name, str(n), md(CLASSES[d].meaning)] for d, n in found.items())
    yield from table(("Class", "Here", "Meaning"), rows) if found else ("None.", "")
    yield f"The classes follow {md(STUDY)}."
    yield ""
    if report.problems:
        yield "## Journals that could not be read, or not whole"
        yield ""
        yield from (f"- {md(problem)}" for problem in report.problems)
        yield ""
    yield f"**{safety}**"


def _session(debrief: Debrief, named: bool) -> Iterator[str]:
    session = debrief.session
    if named:
        yield f"## {md(session.title)}"
        yield ""
    yield f"- {ending_words(session).capitalize()}; {md(session.call) or 'no completion call'}"
    yield f"- Right first time: {session.first_time} of {session.items}"
    yield f"- Session time: {duration(session.minutes * 60)}; holds: {session.holds}; " + (
        f"resumed: {session.resumes}"
    )
    yield ""
    yield "### What to do next"
    yield ""
    for number, advice in enumerate(debrief.advice, 1):
        source = f" ({md(advice.source)})" if advice.source else ""
        yield f"{number}. {md(advice.text)}{source}"
    yield ""
    for group in debrief.groups:
        yield f"### {group.name}: {len(group.lines)}"
        yield ""
        for item, detail in group.lines:
            yield f"- {md(item.challenge)}{f': {md(detail)}' if detail else ''}"
        yield ""
    yield "### Every item"
    yield ""
    yield from table(("Item", "Outcome", "Heard", "Reply", "Usual", "Notes"), _rows(debrief))


def _rows(debrief: Debrief) -> Iterator[Sequence[str]]:
    for x in debrief.items:
        item = x.item
        heard = "; ".join(f"“{md(r.verbatim)}” {r.verdict.value}" for r in item.heard)
        seconds = "" if item.reply_seconds is None else f"{item.reply_seconds:.1f} s"
        usual = f"{x.usual.median:.1f} s" if x.usual else ""
        yield md(item.challenge), x.outcome, heard, seconds, usual, md("; ".join(x.notes))
