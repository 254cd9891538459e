"""The journal port: where a session's records are stored."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from callout.core.conversation.records import JournalRecord
from callout.errors import CalloutError


class JournalUnwritable(CalloutError):
    """A record could not be stored (disk full, folder gone); earlier records are untouched."""


class JournalInUse(CalloutError):
    """Another running session holds this journal."""


class Journal(Protocol):
    """Append-only records of one session."""

    where: str
    """Path, for people."""

    @property
    def latest(self) -> Path:
        """The file that the latest records went to."""

    def append(self, records: Sequence[JournalRecord]) -> None:
        """Store ``records``, all or none, and return only when they are on disk.

        Raises JournalUnwritable if they cannot be stored.
        """

    def news(self) -> str:
        """Return, once, what happened to the file (removed, replaced) and what was done about
        it.
        """

    def close(self) -> None:
        """Release the journal; safe to call twice."""
