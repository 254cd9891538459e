"""Reports as Markdown (CommonMark with tables), with free text made harmless."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from callout.core.debrief.deviations import CLASSES, STUDY
from callout.core.debrief.session import Debrief, SessionReport, classes_of, ending_words
from callout.core.debrief.shown import duration_words, shown_text
from callout.core.sentences import reports as sentences
from callout.reporting.page import subtitle_line

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!$@]|:(?=//)|(?<=www)\.)")
_LEADING = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")


def md_text(text: str) -> str:
    """Return ``text`` so that nothing in it is markup, a link or an entity.

    CommonMark 0.31, section 2.4: any ASCII punctuation may follow a backslash.
    """
    safe = _MARKUP.sub(r"\\\1", shown_text(text))
    return _LEADING.sub(_unlisted_start, safe)


def _unlisted_start(found: re.Match[str]) -> str:
    """Return the beginning of a line so that it starts no list, rule or heading."""
    mark = found.group(2)
    return f"{found.group(1)}{mark}\\" if mark.isdigit() else f"{found.group(1)}\\{mark}"


def table_lines(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Yield the lines of a table; cells are taken unchanged."""
    yield f"| {' | '.join(head)} |"
    yield f"|{'|'.join(' --- ' for _ in head)}|"
    for row in rows:
        yield f"| {' | '.join(row)} |"
    yield ""


def debrief_markdown(report: SessionReport, safety: str) -> str:
    """Return the debrief of a session or flight."""
    return "\n".join(_report_lines(report, safety)) + "\n"


def _report_lines(report: SessionReport, safety: str) -> Iterator[str]:
    yield f"# Debrief: {md_text(report.title)}"
    yield ""
    yield md_text(subtitle_line(report))
    yield ""
    yield from (md_text(line) for line in report.lead)
    yield ""
    for debrief in report.debriefs:
        yield from _session_lines(debrief, bool(report.flight))
    yield "## Classes of deviation"
    yield ""
    found = classes_of(report)
    rows = ([CLASSES[d].name, str(n), md_text(CLASSES[d].meaning)] for d, n in found.items())
    yield from table_lines(("Class", "Here", "Meaning"), rows) if found else ("None.", "")
    yield sentences.classes_follow(md_text(STUDY))
    yield ""
    if report.problems:
        yield "## Journals that could not be read, or only in part"
        yield ""
        yield from (f"- {md_text(problem)}" for problem in report.problems)
        yield ""
    for debrief in report.debriefs:
        yield md_text(debrief.session.session_id)
        yield ""
    yield f"**{safety}**"


def _session_lines(debrief: Debrief, named: bool) -> Iterator[str]:
    session = debrief.session
    if named:
        yield f"## {md_text(session.title)}"
        yield ""
    yield f"- {ending_words(session).capitalize()}; {md_text(session.call) or 'no completion call'}"
    yield f"- Right first time: {session.first_time} of {session.items}"
    yield f"- Session time: {duration_words(session.minutes * 60)}; holds: {session.holds}; " + (
        f"resumed: {session.resumes}"
    )
    yield ""
    yield "### What to do next"
    yield ""
    for number, advice in enumerate(debrief.advice, 1):
        source = f" ({md_text(advice.source)})" if advice.source else ""
        yield f"{number}. {md_text(advice.text)}{source}"
    yield ""
    for group in debrief.groups:
        yield f"### {group.name}: {len(group.lines)}"
        yield ""
        for item, detail in group.lines:
            yield f"- {md_text(item.challenge)}{f': {md_text(detail)}' if detail else ''}"
        yield ""
    yield "### Every item"
    yield ""
    yield from table_lines(
        ("Item", "Outcome", "Heard", "Reply", "Usual", "Notes"), _item_rows(debrief)
    )


def _item_rows(debrief: Debrief) -> Iterator[Sequence[str]]:
    for x in debrief.items:
        item = x.item
        heard = "; ".join(f"“{md_text(r.verbatim)}” {r.verdict.value}" for r in item.heard)
        seconds = "" if item.reply_seconds is None else f"{item.reply_seconds:.1f} s"
        usual = f"{x.usual.median:.1f} s" if x.usual else ""
        yield md_text(item.challenge), x.outcome, heard, seconds, usual, md_text("; ".join(x.notes))
