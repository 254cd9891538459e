"""A debrief in the terminal: drawn with colours and symbols, or one fact per line."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text
from rich.theme import Theme

from callout.core.debrief.deviations import CLASSES, STUDY
from callout.core.debrief.facts import SessionFact
from callout.core.debrief.session import (
    Debrief,
    Group,
    SessionReport,
    classes_of,
    ending_words,
    hand_lines,
)
from callout.core.debrief.shown import duration_words, shown_text
from callout.core.model.counting import counted_noun
from callout.core.sentences import session as sentences
from callout.terminal.theme import PALETTES, Colours

_MOST = 4
"""Items listed under one heading; the page has all of them."""
_STYLES = {
    "Wrong replies": ("✗", "X", "alert"),
    "Said, not set": ("≠", "#", "alert"),
    "Skipped": ("↷", "s", "attention"),
    "Skipped for a reason": ("↷", "s", "quiet"),
    "Left open": ("!", "!", "attention"),
    "Out of order": ("⇄", "o", "attention"),
    "Passed over": ("⇄", "o", "attention"),
    "Too fast to have looked": ("»", ">", "attention"),
    "Deferred": ("↻", "d", "quiet"),
    "Unclear": ("?", "?", "quiet"),
    "Slow": ("…", ".", "quiet"),
    "From memory": ("≡", "=", "quiet"),
    "Not in this simulator": ("∅", "-", "quiet"),
}


def debrief_lines(report: SessionReport, safety: str) -> Iterator[str]:
    """Yield a debrief, one fact per line, for screen readers and pipes."""
    yield from map(shown_text, report.lead)
    for debrief in report.debriefs:
        session = debrief.session
        yield shown_text(f"{session.title}: {ending_words(session)}.")
        yield f"  {_figure_line(debrief)}"
        for group in debrief.groups:
            yield f"  {group.name}: {counted_noun(len(group.lines), 'item')}"
            yield from (f"    {_group_line(group, n)}" for n in range(len(group.lines)))
        yield "  What to do next:"
        yield from (f"    {shown_text(a.text)}" for a in debrief.advice)
    yield from _flight_lines(report)
    yield from _class_lines(report)
    yield safety


def draw_debrief(report: SessionReport, safety: str, console: Console) -> None:
    """Print a debrief in the styles of the console's theme."""
    for line in report.lead:
        console.print(_hanging_text(shown_text(line), "", console))
    for debrief in report.debriefs:
        session = debrief.session
        console.print(
            Text(shown_text(session.title), "bold"), Text(f" {ending_words(session)}"), sep=""
        )
        console.print(Text(f"  {_figure_line(debrief)}", "quiet"))
        for group in debrief.groups:
            _draw_group(group, console)
        console.print(Text("  What to do next", "active"))
        for advice in debrief.advice:
            console.print(_hanging_text(f"{shown_text(advice.text)}", "  → ", console))
    for line in (*_flight_lines(report), *_class_lines(report)):
        console.print(Text(line, "quiet"))
    console.print(Text(safety, "quiet"))


def console_for(colours: Colours) -> Console:
    """Return a console on standard output with styles by meaning."""
    from callout.terminal.console import make_console as on_screen

    return on_screen(Theme(PALETTES[colours]))


def _draw_group(group: Group, console: Console) -> None:
    symbol, ascii_symbol, style = _STYLES[group.name]
    if not console.encoding.lower().startswith("utf"):
        symbol = ascii_symbol
    console.print(Text(f"  {symbol} {group.name}: {counted_noun(len(group.lines), 'item')}", style))
    for number in range(min(len(group.lines), _MOST)):
        console.print(_hanging_text(_group_line(group, number), "    ", console))
    if len(group.lines) > _MOST:
        more = counted_noun(len(group.lines) - _MOST, "more item")
        console.print(Text(f"    and {more}: see the page (--html FILE)", "quiet"))


def _hanging_text(text: str, lead: str, console: Console) -> Text:
    """Return ``text`` wrapped to the console's width with a hanging indent."""
    if not console.encoding.lower().startswith("utf"):
        lead = lead.replace("→", ">")
    lines = Text(text).wrap(console, max(20, console.width - len(lead)))
    joined = Text("\n" + " " * len(lead)).join(lines)
    return Text(lead) + joined


def _group_line(group: Group, number: int) -> str:
    item, detail = group.lines[number]
    critical = " (critical)" if item.critical else ""
    return shown_text(f"{item.challenge}{critical}{f': {detail}' if detail else ''}")


def _figure_line(debrief: Debrief) -> str:
    session = debrief.session
    parts = [
        f"right first time {session.first_time} of {session.items}",
        duration_words(session.minutes * 60),
    ]
    if session.holds:
        held = duration_words(session.hold_seconds)
        parts.append(f"{counted_noun(session.holds, 'hold')} ({held})")
    if session.flow_stage:
        parts.append(f"flow: {session.flow_stage.rstrip('.').lower()}")
    parts += [shown_text(line) for line in hand_lines(session)]
    if session.memory_seconds is not None:
        parts.append(f"memory items {duration_words(session.memory_seconds)}")
    if session.flow_lacking:
        parts.append(
            f"not in the flow, because this simulator lacks {shown_text(_lacking_parts(session))}"
        )
    if session.resumes:
        parts.append(f"resumed {session.resumes}")
    return ", ".join(parts)


def _lacking_parts(session: SessionFact) -> str:
    return " and ".join(session.flow_lacking)


def _flight_lines(report: SessionReport) -> Iterator[str]:
    if report.flight and report.flight.never_started:
        names = ", ".join(shown_text(title) for title in report.flight.never_started)
        yield sentences.never_called_for(names)


def _class_lines(report: SessionReport) -> Iterator[str]:
    found = classes_of(report)
    if found:
        counts = ", ".join(f"{CLASSES[d].name.lower()} {n}" for d, n in found.items())
        yield sentences.deviation_counts(counts, STUDY)
