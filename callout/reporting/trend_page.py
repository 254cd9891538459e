"""Trends as a page and as Markdown, CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from callout.core.debrief import trend_words as words
from callout.core.debrief.deviations import STUDY
from callout.core.debrief.likely import Likely, likely_range, likely_words, often
from callout.core.debrief.rates import Cause, Rate
from callout.core.debrief.shown import shown_text
from callout.core.debrief.trends import FEWEST_ITEM, LEVEL, TrendLine, Trends
from callout.core.sentences import debriefs
from callout.core.sentences import session as sentences
from callout.reporting.markdown import md_text, table_lines
from callout.reporting.page import render_page, template_environment
from callout.reporting.trend_charts import months_chart, rates_chart, times_distribution

_KINDS = {
    "SKIPPED": ("↷", "skipped"),
    "WRONG": ("✗", "wrong"),
    "FAST": ("»", "fast"),
    "ORDER": ("⇄", "unclear"),
    "SLOW": ("…", "unclear"),
    "BETTER": ("↘", "right"),
    "WORSE": ("↗", "wrong"),
}
_NOBODY = "(no name)"
_CAUSES = tuple(cause for cause in Cause if cause is not Cause.ANY)


def trends_page(trends: Trends, safety: str) -> str:
    """Return the page of many sessions; raise CalloutError without its libraries."""
    made = template_environment()
    charts = {
        "months": months_chart(trends),
        "items": rates_chart(trends.items, "items", "item"),
        "phases": rates_chart(trends.phases, "phases", "phase"),
        "times": times_distribution(trends.times),
    }
    return render_page(
        made,
        "trends.html",
        safety,
        trends=trends,
        problems=[shown_text(p) for p in trends.problems],
        charts=charts,
        causes=_CAUSES,
        kinds=_KINDS,
        nobody=_NOBODY,
        level=LEVEL,
        fewest_item=FEWEST_ITEM,
        top=list(words.top_causes(trends)),
        whole=list(words.whole_words(trends)),
        period=words.period_words(trends),
        percent=words.percent_of,
        compared_size=words.compared_size,
        counted=words.counted_rate,
        detail=words.finding_detail,
        often=often,
        likely_range=likely_range,
        likely_explained=debriefs.likely_explained(len(trends.persons)),
        change_words=words.change_words,
        fault_words=words.fault_words,
        powers=list(words.power_lines(trends)),
        lead=list(words.lead_lines(trends)),
        drills_did=debriefs.DRILLS_DID,
        sure=words.sure_words,
        methods=words.METHODS,
        study=STUDY,
    )


def trends_markdown(trends: Trends, safety: str) -> str:
    """Return the trends as Markdown."""
    return "\n".join(_trend_lines(trends, safety)) + "\n"


def _trend_lines(trends: Trends, safety: str) -> Iterator[str]:
    yield "# Trends"
    yield ""
    yield words.period_words(trends)
    yield ""
    yield from (md_text(line) for line in words.lead_lines(trends))
    yield ""
    yield from table_lines(
        ("Cause", "Share", "Count"),
        (
            (n, words.percent_of(r), words.counted_rate(r))
            for n, r in (*words.top_causes(trends), *words.whole_words(trends))
        ),
    )
    yield "## What stands out"
    yield ""
    apart = trends.several_aircraft
    for finding in trends.findings:
        said = words.finding_words(finding, apart)
        yield f"- {md_text(finding.person or _NOBODY)}: {md_text(said)}"
    yield from ("",) if trends.findings else (sentences.NOTHING_STANDS_OUT, "")
    yield from (f"- {md_text(line)}" for line in words.power_lines(trends))
    yield ""
    if trends.faults:
        yield from ("## Repair in the list", "")
        yield from (f"- {md_text(words.fault_words(fault, apart))}" for fault in trends.faults)
        yield ""
    yield "## Is it getting better?"
    yield ""
    for person in trends.persons:
        for change in person.changes:
            yield f"- {md_text(person.person)}: {md_text(words.change_words(change))}"
    yield ""
    if trends.drills:
        yield from (f"## {debriefs.DRILLS_DID}", "")
        yield from (f"- {md_text(line)}" for line in trends.drills)
        yield ""
    groups = (("Phase", trends.phases), ("List", trends.lists))
    for name, lines in groups:
        yield f"## By {name.lower()}"
        yield ""
        yield from table_lines(
            (name, "Runs", "Any deviation"),
            (
                (md_text(line.name), str(line.any.total), words.percent_of(line.any))
                for line in lines
            ),
        )
    yield "## By item"
    yield ""
    yield from (debriefs.likely_explained(len(trends.persons)), "")
    yield from table_lines(
        ("Item", "Critical", "Any deviation", "Likely"),
        (
            (
                md_text(line.name),
                "critical" if line.critical else "",
                words.counted_share(line.any),
                likely_words(line.likely) if line.likely else "",
            )
            for line in trends.items
        ),
    )
    yield "## Compared"
    yield ""
    yield from (f"- {md_text(words.compared_words(c))}" for c in trends.compared)
    yield ""
    yield from (f"- {md_text(problem)}" for problem in trends.problems)
    yield f"**{safety}**"


def trend_rows(trends: Trends) -> Iterator[Mapping[str, Any]]:
    """Yield one row per group and cause, for a spreadsheet."""
    groups = (
        ("phase", trends.phases),
        ("list", trends.lists),
        ("item", trends.items),
        ("role", trends.roles),
        ("month", trends.months),
    )
    for what, lines in groups:
        for line in lines:
            for cause in Cause:
                yield {
                    "by": what,
                    "name": line.name,
                    "cause": cause.value,
                    **_rate_cells(line, cause),
                    **_likely_numbers(line.likely if cause is Cause.ANY else None),
                }


def _rate_cells(line: TrendLine, cause: Cause) -> dict[str, Any]:
    return _rate_numbers(line.any if cause is Cause.ANY else line.causes[cause])


def _likely_numbers(likely: Likely | None) -> dict[str, Any]:
    return {
        "likely": likely.share if likely else None,
        "likely_low": likely.low if likely else None,
        "likely_high": likely.high if likely else None,
    }


def _rate_numbers(rate: Rate) -> dict[str, Any]:
    low, high = rate.interval
    return {
        "hits": rate.hits,
        "runs": rate.total,
        "share": rate.share,
        "low": low,
        "high": high,
        "interval": "wilson" if rate.freedom == 0 else "wilson, sessions taken whole",
    }


def trends_json(trends: Trends) -> dict[str, Any]:
    """Return the trends as plain values; every rate with its interval."""
    return {
        "classes_follow": STUDY,
        "sessions": trends.sessions,
        "completed": trends.completed,
        "first": trends.first,
        "last": trends.last,
        "rates": list(trend_rows(trends)),
        "lists_as_a_whole": {d.value: _rate_numbers(r) for d, r in trends.whole.items()},
        "times": [asdict(t) for t in trends.times],
        "persons": [
            {
                "person": p.person,
                "sessions": p.sessions,
                "any": _rate_numbers(p.any),
                "changes": [asdict(c) for c in p.changes],
                "could_be_found": p.power,
            }
            for p in trends.persons
        ],
        "findings": [{**asdict(f), "rate": _rate_numbers(f.rate)} for f in trends.findings],
        "faults_of_lists": [{**asdict(f), "rate": _rate_numbers(f.rate)} for f in trends.faults],
        "drills": trends.drills,
        "compared": [
            {**asdict(c), "a": _rate_numbers(c.a), "b": _rate_numbers(c.b)} for c in trends.compared
        ],
        "problems": trends.problems,
    }
