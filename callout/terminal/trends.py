"""Trends in the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from callout.core.debrief import trend_words as words
from callout.core.debrief.deviations import STUDY
from callout.core.debrief.likely import some_of_both
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import LEVEL, TrendLine, Trends
from callout.core.sentences import debriefs, reports
from callout.core.sentences import session as sentences

_FEW_PAIRS = 3
"""Pairs of which each is told, also where no difference is shown: somebody asked for them."""
_MOST = 8
_MOST_FINDINGS = 12
HEADINGS = (
    "What stands out",
    "Repair in the list",
    reports.GETTING_BETTER,
    debriefs.DRILLS_DID,
    debriefs.WHERE_IT_GOES_WRONG,
    "By phase",
    "Reply times",
    "Compared",
)


def trend_lines(trends: Trends, safety: str) -> Iterator[str]:
    """Yield the trends, one fact per line."""
    yield words.period_words(trends)
    yield from map(shown_text, words.lead_lines(trends))
    for name, rate in (*words.top_causes(trends), *words.whole_words(trends)):
        yield f"  {name}: {words.percent_of(rate)}, {words.counted_rate(rate)}"
    sections = (
        _finding_lines(trends),
        (words.fault_words(f, trends.several_aircraft) for f in trends.faults),
        _change_lines(trends),
        trends.drills,
        _item_lines(trends),
        _rate_lines(trends.phases),
        _time_lines(trends),
        _compared_lines(trends),
    )
    for heading, lines in zip(HEADINGS, sections, strict=True):
        found = list(lines)
        if found:
            yield heading
            yield from (f"  {shown_text(line)}" for line in found)
    yield sentences.how_to_read_brackets(STUDY)
    yield safety


def draw_trends(trends: Trends, safety: str, console: Console) -> None:
    """Print the trends in the styles of the console's theme, wrapped to its width."""
    for line in trend_lines(trends, safety):
        style = "active" if line in HEADINGS else "quiet" if line == safety else ""
        lead = "    " if line.startswith(" ") else ""
        for part in textwrap.wrap(line, console.width, subsequent_indent=lead) or [""]:
            console.print(Text(part, style))


def _finding_lines(trends: Trends) -> Iterator[str]:
    several = len(trends.persons) > 1
    for finding in trends.findings[:_MOST_FINDINGS]:
        who = f"{finding.person or '(no name)'}: " if several else ""
        yield f"{who}{words.finding_words(finding, trends.several_aircraft)}"
    if len(trends.findings) > _MOST_FINDINGS:
        yield f"and {len(trends.findings) - _MOST_FINDINGS} more: see the page (--html FILE)."
    if not trends.findings:
        yield sentences.NOTHING_STANDS_OUT
    yield from words.power_lines(trends)
    yield debriefs.likely_explained(len(trends.persons))


def _change_lines(trends: Trends) -> Iterator[str]:
    several = len(trends.persons) > 1
    for person in trends.persons:
        for change in person.changes:
            yield f"{f'{person.person}: ' if several else ''}{words.change_words(change)}"


def _item_lines(trends: Trends) -> Iterator[str]:
    wrong = some_of_both([line for line in trends.items if line.any.hits], _MOST)
    for line in wrong:
        critical = " (critical)" if line.critical else ""
        yield f"{line.name}{critical}: {words.counted_and_likely(line.any, line.likely)}"


def _rate_lines(lines: tuple[TrendLine, ...] | list[TrendLine]) -> Iterator[str]:
    for line in lines:
        yield f"{line.name}: {words.percent_of(line.any)}, {words.counted_rate(line.any)}"


def _time_lines(trends: Trends) -> Iterator[str]:
    for t in trends.times:
        yield f"{t.name}: median {t.median:.1f} s ({t.low:.1f} to {t.high:.1f}), {t.count} replies"


def _compared_lines(trends: Trends) -> Iterator[str]:
    few = len(trends.compared) <= _FEW_PAIRS
    differ = [c for c in trends.compared if few or c.adjusted <= LEVEL]
    for compared in differ[:_MOST]:
        yield words.compared_words(compared)
    if len(trends.compared) > len(differ):
        rest = len(trends.compared) - len(differ)
        yield reports.pairs_without_difference(rest, len(trends.compared))
