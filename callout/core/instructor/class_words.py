"""A class in words: the same sentences on the page and in the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from callout.core.debrief.trend_words import kind_and_often, who_changed
from callout.core.debrief.trends import LEVEL
from callout.core.instructor.agreeing import ClassEntry, Reached, Standard
from callout.core.instructor.class_facts import ClassPerson, ClassReport
from callout.core.sentences import classes as sentences
from callout.core.sentences import debriefs


def lead_lines(report: ClassReport, today: date) -> Iterator[str]:
    """Yield what an instructor reads first."""
    yield sentences.class_lead(len(report.people), report.sessions)
    yield who_changed({person.name: person.changes for person in report.people})
    found = [(f.order(), person.name, f) for person in report.people for f in person.findings]
    for _, name, worst in sorted(found, key=lambda one: one[:2])[:1]:
        told = kind_and_often(worst)
        yield debriefs.look_first(name, worst.challenge, worst.place.list_name, told)
    if report.faults:
        yield sentences.lists_to_repair(len(report.faults))
    below = sum(person.reached is Reached.MISSED for person in report.people)
    if below:
        yield sentences.below_standard(below)
    due = sum(bool(action.due and action.due <= today) for action in report.actions)
    yield sentences.actions_due(due, len(report.actions))


def standard_line(standard: Standard | None) -> str:
    """Return the standard in a sentence."""
    if standard is None:
        return sentences.NO_STANDARD
    return sentences.standard_words(standard.percent, standard.critical, standard.sessions)


def action_line(action: ClassEntry, today: date) -> str:
    """Return an agreed action: number, person, action and due date."""
    late = ""
    if action.due:
        late = f", due {action.due:%Y-%m-%d}{' (late)' if action.due < today else ''}"
    return (
        f"{action.number}: {action.trainee}: {action.text} (agreed {_day(action.utc)} "
        f"with {action.by}{late})"
    )


def note_line(note: ClassEntry) -> str:
    """Return a note with its date and author."""
    return f"{note.text} ({_day(note.utc)}, {note.by})"


def _day(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d}"


def change_line(person: ClassPerson) -> str:
    """Return the verdict on a person's deviations over time, in a few words."""
    for change in person.changes:
        if not change.high:
            return "too few sessions" if "few" in change.words else "nothing to measure"
        return change.words.rstrip(".").lower() if change.p <= LEVEL else "no change shown"
    return "nothing to measure"


def first_to_work_on(person: ClassPerson) -> str:
    """Return the finding that matters most: critical items first."""
    found = person.findings
    if not found:
        return "nothing that chance would not explain"
    more = f", and {len(found) - 1} more" if len(found) > 1 else ""
    return f"{found[0].challenge} ({kind_and_often(found[0])}){more}"
