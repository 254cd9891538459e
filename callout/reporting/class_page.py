"""The page of a class, and the same as lines and as plain values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from typing import Any

from callout.core.debrief import trend_words
from callout.core.debrief.likely import likely_range, often
from callout.core.debrief.rates import Rate
from callout.core.debrief.shown import shown_text
from callout.core.instructor import class_words as words
from callout.core.instructor.agreeing import Reached, entry_to_plain
from callout.core.instructor.class_facts import ClassPerson, ClassReport
from callout.core.sentences import classes as sentences
from callout.core.sentences.debriefs import WHERE_IT_GOES_WRONG, likely_explained
from callout.reporting.page import render_page, template_environment

MARKS = {
    Reached.NONE: ("·", "quiet"),
    Reached.FEW: ("…", "quiet"),
    Reached.SURELY: ("✓", "right"),
    Reached.SEEN: ("✓", "right"),
    Reached.UNCLEAR: ("?", "unclear"),
    Reached.MISSED: ("✗", "wrong"),
}


def class_page(report: ClassReport, today: date, safety: str) -> str:
    """Return the page; raise CalloutError without its library. today: to mark what is overdue."""
    return render_page(
        template_environment(),
        "class.html",
        safety,
        report=report,
        today=today,
        words=words,
        sentences=sentences,
        percent=trend_words.percent_of,
        counted_of=trend_words.counted_rate,
        often=often,
        likely_range=likely_range,
        items_title=WHERE_IT_GOES_WRONG,
        likely_explained=likely_explained(len(report.people)),
        change_words=trend_words.change_words,
        fault_words=trend_words.fault_words,
        finding_words=trend_words.finding_words,
        marks=MARKS,
        nothing=Reached.NONE,
        problems=[shown_text(p) for p in report.problems],
    )


def class_lines(report: ClassReport, today: date, safety: str) -> Iterator[str]:
    """Yield the class, one fact per line."""
    yield from words.lead_lines(report, today)
    yield words.standard_line(report.standard)
    yield "Agreed and open"
    yield from (f"  {words.action_line(action, today)}" for action in report.actions)
    yield "People"
    for person in report.people:
        yield from (f"  {line}" for line in _person_lines(person, report.several_aircraft))
    yield "Repair in the lists"
    faults = [trend_words.fault_words(f, report.several_aircraft) for f in report.faults]
    yield from (f"  {line}" for line in faults or [sentences.NO_LIST_FAULT])
    yield WHERE_IT_GOES_WRONG
    yield f"  {likely_explained(len(report.people))}"
    for item in report.items:
        aircraft = item.place.aircraft if report.several_aircraft else ""
        where = ", ".join(part for part in (item.place.list_name, aircraft) if part)
        yield (
            f"  {item.challenge}{' (critical)' if item.critical else ''}, {where}: "
            f"{trend_words.counted_and_likely(item.rate, item.likely)}, "
            f"at {item.people} of {item.of_people} people"
        )
    if report.notes:
        yield "Notes on the class"
        yield from (f"  {words.note_line(note)}" for note in report.notes)
    yield safety


def _person_lines(person: ClassPerson, apart: bool) -> Iterator[str]:
    standing = "" if person.reached is Reached.NONE else f"; {person.reached.value}"
    yield (
        f"{person.name}: {person.sessions} sessions, {trend_words.percent_of(person.any)} of items "
        f"with a deviation{standing}; {words.change_line(person)}"
    )
    yield from (f"  {trend_words.finding_words(found, apart)}" for found in person.findings)
    if not person.findings:
        yield f"  {person.power}"
    yield from (f"  better: {trend_words.finding_words(found, apart)}" for found in person.better)
    yield from (f"  noted: {words.note_line(note)}" for note in person.notes)


def class_json(report: ClassReport) -> dict[str, Any]:
    """Return the class as plain values; every share with its interval."""
    return {
        "sessions": report.sessions,
        "first": report.first,
        "last": report.last,
        "standard": asdict(report.standard) if report.standard else None,
        "actions": [entry_to_plain(entry) for entry in report.actions],
        "notes": [entry_to_plain(entry) for entry in report.notes],
        "people": [
            {
                "name": p.name,
                "sessions": p.sessions,
                "any": _share(p.any),
                "latest": _share(p.recent),
                "critical_in_latest": p.critical,
                "standard": p.reached.value,
                "changes": [asdict(c) for c in p.changes],
                "findings": [{**asdict(f), "rate": _share(f.rate)} for f in p.findings],
                "better": [{**asdict(f), "rate": _share(f.rate)} for f in p.better],
                "could_be_found": p.power,
                "notes": [entry_to_plain(entry) for entry in p.notes],
            }
            for p in report.people
        ],
        "faults_of_lists": [{**asdict(f), "rate": _share(f.rate)} for f in report.faults],
        "items": [{**asdict(i), "rate": _share(i.rate)} for i in report.items],
        "problems": report.problems,
    }


def _share(rate: Rate) -> dict[str, Any]:
    low, high = rate.interval
    return {"hits": rate.hits, "runs": rate.total, "low": low, "high": high}
