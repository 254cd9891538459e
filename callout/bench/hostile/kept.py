"""What a screen has acknowledged, and what the journals contain of it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from callout.core.checklist_run.records import Held
from callout.core.conversation.records import JournalRecord, Resumed
from callout.journal.jsonl_reader import read_journal

Done = tuple[str, str]
"""What was done, in a word, and with which words."""

_LINES: Final = (
    (re.compile(r"^Right: ", re.M), "match"),
    (re.compile(r'^Mismatch\. (?:Typed|Heard) "([^"]*)"', re.M), "mismatch"),
    (re.compile(r'^Unclear\. (?:Typed|Heard) "([^"]*)"', re.M), "unclear"),
    (re.compile(r"^Holding(?: at [^.]*)?\.$", re.M), "held"),
    (re.compile(r"^(?:Icing|Fuelling): (yes|no)\b(?! or )", re.M), "stated"),
)
"""How the plain view acknowledges: each line is one record at least."""


def acknowledged(screen: str) -> Counter[Done]:
    """Return what the screen of one process acknowledged."""
    whole = screen[: screen.rfind("\n") + 1]
    found: Counter[Done] = Counter()
    for pattern, what in _LINES:
        for line in pattern.finditer(whole):
            found[what, line[1] if pattern.groups else ""] += 1
    return found


def kept_in(paths: Iterable[Path]) -> Counter[Done]:
    """Return what journals contain; raises JournalDamaged for a damaged one."""
    records = (record for path in paths for record in read_journal(path).records)
    return Counter(done for record in records for done in _done(record))


def _done(record: JournalRecord) -> Iterator[Done]:
    verdict, utterance = getattr(record, "verdict", None), getattr(record, "utterance", None)
    if verdict is not None and utterance is not None:
        yield verdict.value, "" if verdict.value == "match" else utterance.text
    resumed = isinstance(record, Resumed)  # one that was held says so again
    if resumed or isinstance(record, Held) or getattr(record, "held", False):
        yield "held", ""
    if getattr(record, "fact", ""):
        yield "stated", "yes" if getattr(record, "state", False) else "no"


def lost(told: Counter[Done], before: Counter[Done], after: Counter[Done]) -> Counter[Done]:
    """Return what was acknowledged but is not among what reached the journals since ``before``."""
    return told - (after - before)


def screen_text(screen: Path) -> str:
    """Return what a process has shown so far."""
    return screen.read_text("utf-8", "replace") if screen.exists() else ""


def screen_lines(screen: Path) -> int:
    """Return how many lines it has shown."""
    return screen_text(screen).count("\n")
