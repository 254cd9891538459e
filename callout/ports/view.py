"""The view port: where a session is shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel


class View(Protocol):
    """A screen; all calls come from one thread."""

    def open(self, safety: str) -> None:
        """Begin, showing the safety note."""

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Show the session; ``news`` are plain lines about what just happened."""

    def typing(self, text: str) -> None:
        """Show the reply being typed."""

    def redraw(self) -> None:
        """Draw again: the size of the screen has changed."""

    def notice(self, message: str, hint: str = "") -> None:
        """Show an error that is not part of the session."""

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """End with the summary, the journal's path and the safety note."""

    def close(self) -> None:
        """Restore the screen; safe to call twice."""
