"""What `callout check` examines: each file by itself, then the lists of a folder together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from callout.app.list_files.flight_findings import list_warning, unknown_facts, unusable_values
from callout.app.list_files.pronouncing import pronunciations
from callout.app.shared.checklist_files import FLIGHT_FILE, FileKind, with_overlay
from callout.app.shared.found_files import FoundFile, read_any, yaml_files
from callout.app.shared.tables import default_tables
from callout.core.formats.overlay import Overlay
from callout.core.lint.finding import ListFinding, Severity, Subject
from callout.core.lint.flight_rules import lint_flight
from callout.core.lint.rules import lint_list
from callout.core.lint.wording import calls_of
from callout.core.model.checklist import Checklist, Item
from callout.core.model.flight import Flight
from callout.core.model.problems import FileProblems, Problem
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import files as sentences
from callout.errors import ChecklistInvalid

ItemCheck = Callable[[Checklist, Item, Flight | None], Iterator[ListFinding]]
"""An additional check of one item, such as its words against the recogniser's vocabulary."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One file after the check."""

    path: Path
    kind: FileKind
    items: int
    """Items of the list, or changes of the overlay."""
    findings: tuple[ListFinding, ...]

    @property
    def errors(self) -> int:
        """How many findings are errors."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)


def check_paths(
    paths: Sequence[Path], further: ItemCheck | None = None, notes: bool = False
) -> list[Checked]:
    """Check files and everything below folders; raise ChecklistInvalid for a missing path.

    notes: also report what often cannot be avoided.
    """
    files = [file for path in paths for file in (yaml_files(path) if path.is_dir() else [path])]
    found = [read_any(file) for file in dict.fromkeys(files)]
    checked = _Check(found, further).all()
    return checked if notes else [_without_notes(file) for file in checked]


def check_among(file: FoundFile, others: Sequence[FoundFile]) -> Checked:
    """Check one file, which need not be on disk, together with the others of its folder."""
    beside = [one for one in others if one.path != file.path]
    look = _Check([file, *beside], None)
    look.know_lists()
    return _without_notes(look.checked(file))


def _without_notes(file: Checked) -> Checked:
    kept = tuple(f for f in file.findings if f.severity is not Severity.NOTE)
    return replace(file, findings=kept)


@dataclass(slots=True)
class _Check:
    """The files of one check, and what has been computed about them."""

    found: list[FoundFile]
    further: ItemCheck | None
    lists: dict[str, Checklist] = field(default_factory=dict)
    folders: dict[Path, dict[str, Checklist]] = field(default_factory=dict)
    owners: dict[tuple[Path, str], Path] = field(default_factory=dict)
    """The first file of a folder with each id."""
    flights: dict[Path, Flight | None] = field(default_factory=dict)
    calls: dict[Path, dict[str, str]] = field(default_factory=dict)
    raised: dict[str, list[ListFinding]] = field(default_factory=dict)
    """Findings about each list before overlays, by file."""

    def all(self) -> list[Checked]:
        self.know_lists()
        return [self.checked(file) for file in self.found]

    def know_lists(self) -> None:
        for file in self.found:
            if isinstance(file.content, Checklist):
                self.lists[file.content.id] = file.content
                self.owners.setdefault((file.path.parent, file.content.id), file.path)
                self.folders.setdefault(file.path.parent, {})[file.content.id] = file.content

    def checked(self, file: FoundFile) -> Checked:
        content = file.content
        if file.error is not None:
            return Checked(file.path, file.kind, 0, tuple(_unreadable(file.path, file.error)))
        if isinstance(content, Checklist):
            findings = tuple(self._list_findings(file.path, content))
            return Checked(file.path, file.kind, len(content.items), findings)
        if isinstance(content, Overlay):
            findings = tuple(self._overlay_findings(content))
            return Checked(file.path, file.kind, len(content.changes), findings)
        assert isinstance(content, Flight)
        found = tuple(lint_flight(content, default_tables()))
        return Checked(file.path, file.kind, len(content.quantities) + len(content.facts), found)

    def _list_findings(self, path: Path, checklist: Checklist) -> Iterator[ListFinding]:
        file = str(path)
        owner = self.owners.get((path.parent, checklist.id), path)
        if owner != path:
            said = sentences.same_list_id(checklist.id, owner.name)
            hint = sentences.SAME_LIST_ID_HINT
            line = checklist.origin.line
            yield ListFinding("format", Severity.ERROR, file, line, said, hint)
        for other in checklist.follows:
            lists = self.folders[path.parent]
            if other not in lists and len(lists) > 1:
                said = f'it follows "{other}", but that list is not in its folder.'
                hint = did_you_mean(other, lists)
                yield list_warning("follows", file, checklist.origin.line, said, hint)
        flight = self._flight(path.parent)
        yield from self._rules(path, checklist, flight)
        if flight is not None:
            yield from unknown_facts(file, checklist, flight)
            yield from unusable_values(file, checklist, flight)
        if self.further is not None:
            for item in checklist.items:
                yield from self.further(checklist, item, flight)

    def _rules(self, path: Path, checklist: Checklist, flight: Flight | None) -> list[ListFinding]:
        found = self.raised.get(str(path))
        if found is None:
            calls = self._calls(path.parent)
            subject = Subject(checklist, default_tables(), flight, pronunciations(), calls)
            found = self.raised[str(path)] = lint_list(subject)
        return found

    def _calls(self, folder: Path) -> dict[str, str]:
        """Return every call of the folder's lists with the first list that uses it."""
        if folder not in self.calls:
            owners: dict[str, str] = {}
            for name in sorted(self.folders.get(folder, {})):
                for call in calls_of(self.folders[folder][name]):
                    owners.setdefault(call, name)
            self.calls[folder] = owners
        return self.calls[folder]

    def _flight(self, folder: Path) -> Flight | None:
        """Return the flight file of ``folder``; a broken one is reported separately."""
        if folder not in self.flights:
            beside = folder / FLIGHT_FILE
            given = next((f.content for f in self.found if f.path == beside), None)
            if given is None and beside.is_file():
                given = read_any(beside).content
            self.flights[folder] = given if isinstance(given, Flight) else None
        return self.flights[folder]

    def _overlay_findings(self, overlay: Overlay) -> Iterator[ListFinding]:
        base = self._base(overlay)
        if base is None:
            if any(f.error and f.kind is FileKind.CHECKLIST for f in self.found):
                return  # it may be the one that cannot be read
            hint = did_you_mean(overlay.base, self.lists) or sentences.OVERLAY_ALONE_HINT
            said = f'its list, "{overlay.base}", is not among the files checked.'
            file, line = overlay.origin.file, overlay.origin.line
            yield list_warning("overlay-base", file, line, said, hint)
            return
        try:
            merged = with_overlay(base, overlay)
        except FileProblems as error:
            yield from (_finding(problem, "overlay") for problem in error.problems)
            return
        yield from self._raised_by(overlay, base, merged)

    def _base(self, overlay: Overlay) -> Checklist | None:
        """Return the list with the overlay's id in its folder or the nearest parent folder."""
        folder = Path(overlay.origin.file).parent
        for near in (folder, *folder.parents):
            if overlay.base in self.folders.get(near, {}):
                return self.folders[near][overlay.base]
        return self.lists.get(overlay.base)

    def _raised_by(
        self, overlay: Overlay, base: Checklist, merged: Checklist
    ) -> Iterator[ListFinding]:
        """Yield findings about the merged list that the base list does not have."""
        path = Path(base.origin.file)
        flight = self._flight(path.parent)
        before = {(f.rule, f.item_id) for f in self._rules(path, base, flight)}
        subject = Subject(merged, default_tables(), flight, pronunciations())
        for finding in lint_list(subject):
            if (finding.rule, finding.item_id) not in before:
                yield replace(_at_change(finding, overlay, merged), severity=finding.severity)


def _at_change(finding: ListFinding, overlay: Overlay, merged: Checklist) -> ListFinding:
    """Return the finding at the overlay line that changed the item, else at its first line."""
    file, line = overlay.origin.file, overlay.origin.line
    for item in merged.items:
        if item.id == finding.item_id:
            lines = [c.origin.line for c in item.changes if c.origin.file == file]
            line = lines[-1] if lines else line
    if not finding.item_id and finding.line in _lines_of_parts(file, merged):
        line = finding.line
    said = f"with this overlay, {finding.message}"
    return list_warning(finding.rule, file, line, said, finding.hint)


def _lines_of_parts(file: str, merged: Checklist) -> set[int]:
    """Return the lines of ``file`` that wrote a section, or a part of the flow."""
    origins = [section.origin for section in merged.sections]
    for panel in merged.flow:
        origins += [panel.origin, *(action.origin for action in panel.actions)]
    return {origin.line for origin in origins if origin.file == file}


def _unreadable(path: Path, error: ChecklistInvalid) -> Iterator[ListFinding]:
    if not isinstance(error, FileProblems):
        yield ListFinding("file", Severity.ERROR, str(path), 1, error.message, error.hint)
        return
    for problem in error.problems:
        yield _finding(problem, "format")


def _finding(problem: Problem, usual: str) -> ListFinding:
    rule = usual if problem.rule == "format" else problem.rule
    message, hint, path = problem.message, problem.hint, problem.path
    return ListFinding(rule, Severity.ERROR, problem.file, problem.line, message, hint, path)


def count_findings(checked: Iterable[Checked]) -> tuple[int, int]:
    """Return how many errors and warnings there are."""
    findings = [finding for file in checked for finding in file.findings]
    errors = sum(finding.severity is Severity.ERROR for finding in findings)
    return errors, sum(finding.severity is Severity.WARNING for finding in findings)
