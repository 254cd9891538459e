"""Reports as one HTML file that opens offline: every text escaped, nothing loaded, nothing run."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import PurePath
from typing import Any

from callout import __version__
from callout.core.checklist_run.state import ItemOutcome
from callout.core.debrief.deviations import CLASSES, STUDY
from callout.core.debrief.session import (
    Debrief,
    Looked,
    SessionReport,
    classes_of,
    ending_words,
    hand_lines,
)
from callout.core.debrief.shown import clock_words, duration_words, shown_text
from callout.core.debrief.timeline import MarkKind
from callout.core.debrief.usual_times import replied_by
from callout.core.sentences import moments as moment_words
from callout.core.sentences import reports as sentences
from callout.errors import CalloutError
from callout.reporting.hand_chart import hand_chart
from callout.reporting.palette import colour_style
from callout.reporting.session_charts import timeline_chart, times_chart

_VERDICTS = {"match": "right", "mismatch": "wrong", "unclear": "unclear"}


@dataclass(frozen=True, slots=True)
class PageLook:
    """How an outcome is shown."""

    symbol: str
    style: str


def debrief_page(
    report: SessionReport, safety: str, sound: Callable[[PurePath], str] | None = None
) -> str:
    """Return the page of a session or flight; raise CalloutError without its libraries.

    sound: returns the address of a kept reply, which contains it; None: the page has no sound.
    """
    made = template_environment()
    charts = [
        {
            "timeline": timeline_chart(d, n, moment_anchors(d, n)),
            "times": times_chart(d, n),
            "hands": hand_chart(d.session, n),
        }
        for n, d in enumerate(report.debriefs)
    ]
    return render_page(
        made,
        "debrief.html",
        safety,
        report=report,
        problems=[shown_text(p) for p in report.problems],
        under=subtitle_line(report),
        charts=charts,
        hands=hand_lines,
        ending=ending_words,
        lead=[shown_text(line) for line in report.lead],
        mark=look_of,
        breaks=_break_lines,
        again=[moment_anchors(d, n) for n, d in enumerate(report.debriefs)],
        moment_words=moment_words,
        sound_words=_sound_words,
        sound=sound,
        clock=clock_words,
        classes=classes_of(report),
        known=CLASSES,
        study=STUDY,
        verdict_style=_VERDICTS,
    )


def _sound_words(debrief: Debrief, plays: bool) -> str:
    if not debrief.sounds:
        return moment_words.SOUND_NOT_KEPT
    return moment_words.SOUND_TO_PLAY if plays else moment_words.SOUND_ELSEWHERE


def subtitle_line(report: SessionReport) -> str:
    """Return who, what and when, on one line."""
    session = report.debriefs[0].session
    began = report.flight.began if report.flight else session.began
    how = replied_by(x.item for d in report.debriefs for x in d.items)
    parts = (
        session.person,
        folder_in_words(session.aircraft),
        session.operator,
        f"{began:%Y-%m-%d %H:%M} UTC",
        f"replies: {how}" if how else "",
    )
    return " · ".join(part for part in parts if part)


def folder_in_words(name: str) -> str:
    """Return an aircraft's name; that of a folder, which stands in for it, as words."""
    if name != name.casefold() or " " in name or not name[:1].isalpha():
        return name
    words = " ".join(name.replace("-", " ").replace("_", " ").split())
    return words[:1].upper() + words[1:]


def look_of(looked: Looked) -> PageLook:
    """Return symbol and style of an item's outcome."""
    item = looked.item
    if item.outcome is ItemOutcome.ANSWERED:
        return PageLook("✓", "right") if item.first_time else PageLook("✗✓", "unclear")
    symbols = {
        ItemOutcome.SKIPPED: PageLook("↷", "skipped"),
        ItemOutcome.LEFT_OPEN: PageLook("!", "wrong"),
        ItemOutcome.NOT_APPLICABLE: PageLook("⊘", "quiet"),
        None: PageLook("·", "quiet"),
    }
    return symbols[item.outcome]


def moment_anchors(debrief: Debrief, number: int) -> dict[str, str]:
    """Return the anchors of slips shown in detail, by item."""
    return {m.item_id: f"moment-{number}-{n}" for n, m in enumerate(debrief.moments)}


def _break_lines(debrief: Debrief) -> Iterator[str]:
    for mark in debrief.timeline.marks:
        if mark.moment is MarkKind.BREAK:
            gone = f", resumed {duration_words(mark.asleep)} later" if mark.asleep else ""
            yield f"Interrupted at {clock_words(mark.at)} ({mark.words}){gone}"


def template_environment() -> Any:
    """Return the templates' environment; raise CalloutError without Jinja2."""
    try:
        from jinja2 import Environment, FunctionLoader, StrictUndefined
    except ImportError as error:
        hint = 'Run: pip install "callout[debrief]"'
        raise CalloutError(sentences.JINJA2_MISSING, hint) from error
    made = Environment(
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
        loader=FunctionLoader(_template_text),
    )
    made.filters.update(shown=shown_text, duration=duration_words)
    return made


def _template_text(name: str) -> str:
    return (files("callout") / "data" / "reports" / name).read_text(encoding="utf-8")


def render_page(made: Any, name: str, safety: str, **facts: Any) -> str:
    """Return a page from the template ``name``, with the style, fonts and safety note."""
    page: str = made.get_template(name).render(
        safety=safety,
        version=__version__,
        colours=colour_style(),
        fonts=[_font_face("Regular", 400), _font_face("Bold", 700)],
        **facts,
    )
    return page.replace(" %", "\N{NO-BREAK SPACE}%")


def _font_face(face: str, weight: int) -> dict[str, Any]:
    data = (files("callout") / "data" / "fonts" / f"AtkinsonHyperlegible-{face}.ttf").read_bytes()
    return {"weight": weight, "data": base64.b64encode(data).decode()}
