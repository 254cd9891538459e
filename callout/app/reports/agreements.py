"""Records what an instructor notes, agrees and settles."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from callout.core.instructor.agreeing import (
    ClassEntry,
    EntryKind,
    Standard,
    open_actions,
)
from callout.core.sentences import classes as sentences
from callout.errors import CalloutError
from callout.journal.class_log import CLASS_LOG, ClassLog, add_entry, read_class_log
from callout.journal.register import FOLDER


def class_log_in(folder: Path) -> Path:
    """Return where notes and actions are stored, whether any exist or not."""
    return folder / FOLDER / CLASS_LOG


def entries_in(folder: Path) -> ClassLog:
    """Return the notes and actions stored with the journals in ``folder``."""
    return read_class_log(class_log_in(folder))


def write_entry(
    folder: Path, by: str, kind: EntryKind, utc: datetime, *, trainee: str = "", text: str = "",
    due: date | None = None, standard: Standard | None = None,
) -> ClassEntry:  # fmt: skip
    """Add an entry; raises CalloutError if a name or words are missing."""
    who, said, whom = (" ".join(words.split()) for words in (by, text, trainee))
    if not who or (kind in (EntryKind.NOTE, EntryKind.ACTION) and not (said and whom)):
        raise CalloutError(sentences.NAMES_AND_WORDS, sentences.HOW_TO_NOTE)

    def make(before: tuple[ClassEntry, ...]) -> ClassEntry:
        number = max((entry.number for entry in before), default=0) + 1
        return ClassEntry(number, utc, who, kind, whom, said, due, 0, standard)

    return add_entry(class_log_in(folder), make)


def settle_action(folder: Path, number: int, by: str, utc: datetime, text: str = "") -> ClassEntry:
    """Settle the open action ``number``; raises CalloutError if there is none."""
    if not by.strip():
        raise CalloutError(sentences.NAMES_AND_WORDS, sentences.HOW_TO_NOTE)

    def make(before: tuple[ClassEntry, ...]) -> ClassEntry:
        found = [entry for entry in open_actions(before) if entry.number == number]
        if not found:
            known = ", ".join(str(entry.number) for entry in open_actions(before))
            raise CalloutError(sentences.no_open_action(number), sentences.open_ones(known))
        following = max(entry.number for entry in before) + 1
        words = " ".join(text.split())
        return ClassEntry(
            following, utc, " ".join(by.split()), EntryKind.SETTLED, found[0].trainee, words,
            settles=number,
        )  # fmt: skip

    return add_entry(class_log_in(folder), make)
