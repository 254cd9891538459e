"""The journal port: where a session's records are kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from callout.core.conversation.records import JournalRecord
from callout.errors import CalloutError


class JournalUnwritable(CalloutError):
    """A record could not be kept (disk full, folder gone); what was there before is untouched."""


class JournalInUse(CalloutError):
    """Another running session holds this journal."""


class Journal(Protocol):
    """Append-only records of one session."""

    where: str
    """Path, for people."""

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Keep ``records``, all or none, and return only when they are on the disk.

        Raises JournalUnwritable when they cannot be kept.
        """

    def news(self) -> str:
        """Return, once, what became of the file (removed, replaced) and what was done about it."""

    def close(self) -> None:
        """Let the journal go; safe to call twice."""
