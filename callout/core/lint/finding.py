"""Findings, rules and what a rule may look at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from callout.core.language.tables import Tables
from callout.core.lint.phonemes import Pronunciations
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight


class Severity(Enum):
    """How serious a finding is: only errors keep a list from running."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"
    """Worth knowing, but often unavoidable: reported only on request."""


@dataclass(frozen=True, slots=True)
class ListFinding:
    """One thing found in one file."""

    rule: str
    """Stable id of the rule that found it."""
    severity: Severity
    file: str
    line: int
    """Line of the file, 1 first."""
    message: str
    hint: str = ""
    path: str = ""
    item_id: str = ""
    """The item it is about; empty for the list itself."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What a rule looks at: one list with everything known about it."""

    checklist: Checklist
    tables: Tables
    flight: Flight | None = None
    sounds: Pronunciations = field(default_factory=lambda: Pronunciations({}))
    calls: Mapping[str, str] = field(default_factory=dict)
    """Every call of the lists in the same folder, in the form of ``calls_of``, with the id of the
    first list that uses it.
    """


@dataclass(frozen=True, slots=True)
class Remark:
    """What a rule reports, before its id and severity are added."""

    line: int
    """Line of the file, 1 first."""
    message: str
    hint: str
    item_id: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that makes lists fail in use."""

    id: str
    reason: str
    """Why it matters, one sentence."""
    source: str
    """Published source, or "common practice", or "from memory: ..."."""
    look: Callable[[Subject], Iterable[Remark]]
    severity: Severity = Severity.WARNING
