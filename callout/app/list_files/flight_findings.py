"""Findings that need both a list and the flight file beside it."""

from __future__ import annotations

from collections.abc import Iterator

from callout.app.shared.tables import default_tables
from callout.core.lint.finding import ListFinding, Severity
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.shapes import did_you_mean
from callout.core.planning.quantities import ValueMissing
from callout.core.planning.resolve import answer_for
from callout.core.sentences import files as sentences
from callout.errors import ChecklistInvalid


def unknown_facts(file: str, checklist: Checklist, flight: Flight) -> Iterator[ListFinding]:
    """Yield conditions that use facts missing from the flight file."""
    conditions = [(checklist.origin.line, checklist.when)]
    conditions += [(item.line, item.when) for item in checklist.items]
    conditions += [(a.origin.line, a.when) for panel in checklist.flow for a in panel.actions]
    for line, condition in conditions:
        for name in condition.facts if condition else ():
            if name not in flight.facts:
                said = f'the flight file has no fact "{name}".'
                hint = did_you_mean(name, flight.facts) or sentences.unknown_fact_hint(name)
                yield list_warning("unknown-fact", file, line, said, hint)


def unusable_values(file: str, checklist: Checklist, flight: Flight) -> Iterator[ListFinding]:
    """Yield values of replies that the flight file does not give."""
    tables = default_tables()
    for item in checklist.items:
        try:
            for response in (*item.responses, *(wrong.response for wrong in item.wrong)):
                answer_for(response, item, flight, tables)
        except ValueMissing as missing:
            said = f"{item.id}: {missing.message}"
            yield list_warning("value-missing", file, item.line, said, missing.hint)
        except ChecklistInvalid as error:
            said = error.message.partition(": ")[2]  # the place is given beside it
            yield ListFinding("value", Severity.ERROR, file, item.line, said, error.hint)


def list_warning(rule: str, file: str, line: int, message: str, hint: str) -> ListFinding:
    """Return a warning."""
    return ListFinding(rule, Severity.WARNING, file, line, message, hint)
