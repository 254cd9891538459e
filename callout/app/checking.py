"""What `callout check` looks at: each file by itself, then the lists of a folder together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from callout.app.checklist_files import FileKind, flight_beside, load_flight, with_overlay
from callout.app.found_files import FoundFile, read_any, yaml_files
from callout.app.tables import default_tables
from callout.core.checklist import Checklist
from callout.core.flight import Flight
from callout.core.overlay import Overlay
from callout.core.problems import FileProblems, Problem
from callout.core.quantities import ValueMissing
from callout.core.resolve import answer_for
from callout.core.shapes import meant
from callout.errors import ChecklistInvalid


class Severity(Enum):
    """How bad a finding is: only errors keep a list from running."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found in one file."""

    rule: str
    """Stable id of the rule that found it."""
    severity: Severity
    file: str
    line: int
    message: str
    hint: str = ""
    path: str = ""


@dataclass(frozen=True, slots=True)
class Checked:
    """One file after the check."""

    path: Path
    kind: FileKind
    items: int
    findings: tuple[Finding, ...]

    @property
    def errors(self) -> int:
        """How many findings are errors."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)


def check_paths(paths: Sequence[Path]) -> list[Checked]:
    """Check files and everything below folders; raise ChecklistInvalid for a missing path."""
    files = [file for path in paths for file in (yaml_files(path) if path.is_dir() else [path])]
    found = [read_any(file) for file in dict.fromkeys(files)]
    lists = {c.id: c for f in found if isinstance(c := f.content, Checklist)}
    return [_checked(file, lists) for file in found]


def _checked(file: FoundFile, lists: dict[str, Checklist]) -> Checked:
    content = file.content
    if file.error is not None:
        return Checked(file.path, file.kind, 0, tuple(_unreadable(file.path, file.error)))
    if isinstance(content, Checklist):
        findings = tuple(_list_findings(file.path, content, lists))
        return Checked(file.path, file.kind, len(content.items), findings)
    if isinstance(content, Overlay):
        findings = tuple(_overlay_findings(content, lists))
        return Checked(file.path, file.kind, len(content.changes), findings)
    assert isinstance(content, Flight)
    return Checked(file.path, file.kind, len(content.quantities) + len(content.facts), ())


def _unreadable(path: Path, error: ChecklistInvalid) -> Iterator[Finding]:
    if not isinstance(error, FileProblems):
        yield Finding("file", Severity.ERROR, str(path), 1, error.message, error.hint)
        return
    for problem in error.problems:
        yield _finding("format", problem)


def _finding(rule: str, problem: Problem) -> Finding:
    return Finding(
        rule,
        Severity.ERROR,
        problem.file,
        problem.line,
        problem.message,
        problem.hint,
        problem.path,
    )


def _overlay_findings(overlay: Overlay, lists: dict[str, Checklist]) -> Iterator[Finding]:
    base = lists.get(overlay.base)
    if base is None:
        hint = meant(overlay.base, lists) or "Check the overlay together with its list."
        said = f'the list "{overlay.base}" is not among the files checked.'
        yield _warning("overlay-base", overlay.origin.file, overlay.origin.line, said, hint)
        return
    try:
        with_overlay(base, overlay)
    except FileProblems as error:
        yield from (_finding("overlay", problem) for problem in error.problems)


def _list_findings(
    path: Path, checklist: Checklist, lists: dict[str, Checklist]
) -> Iterator[Finding]:
    file = str(path)
    for other in checklist.follows:
        if other not in lists and len(lists) > 1:
            said = f'it follows "{other}", which is not among the files checked.'
            yield _warning("follows", file, checklist.origin.line, said, meant(other, lists))
    beside = flight_beside(path)
    if beside is None:
        return
    try:
        flight = load_flight(beside)
    except ChecklistInvalid:
        return  # reported with the flight file itself
    yield from _unknown_facts(file, checklist, flight)
    yield from _unusable_values(file, checklist, flight)


def _unknown_facts(file: str, checklist: Checklist, flight: Flight) -> Iterator[Finding]:
    conditions = [(checklist.origin.line, checklist.when)]
    conditions += [(item.line, item.when) for item in checklist.items]
    conditions += [(a.origin.line, a.when) for panel in checklist.flow for a in panel.actions]
    for line, condition in conditions:
        for name in condition.facts if condition else ():
            if name not in flight.facts:
                said = f'the flight file has no fact "{name}".'
                hint = meant(name, flight.facts) or f"Add `{name}: unknown` to its facts."
                yield _warning("unknown-fact", file, line, said, hint)


def _unusable_values(file: str, checklist: Checklist, flight: Flight) -> Iterator[Finding]:
    tables = default_tables()
    for item in checklist.items:
        try:
            for response in (*item.responses, *(wrong.response for wrong in item.wrong)):
                answer_for(response, item, flight, tables)
        except ValueMissing as missing:
            said = f"{item.id}: {missing.message}"
            yield _warning("value-missing", file, item.line, said, missing.hint)
        except ChecklistInvalid as error:
            said = error.message.partition(": ")[2]  # the place is given beside it
            yield Finding("value", Severity.ERROR, file, item.line, said, error.hint)


def _warning(rule: str, file: str, line: int, message: str, hint: str) -> Finding:
    return Finding(rule, Severity.WARNING, file, line, message, hint)


def total(checked: Iterable[Checked]) -> tuple[int, int]:
    """Return how many errors and warnings there are."""
    findings = [finding for file in checked for finding in file.findings]
    errors = sum(finding.severity is Severity.ERROR for finding in findings)
    return errors, len(findings) - errors
