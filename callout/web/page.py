"""The view and keyboard of the page; both only write to the hub."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import Any

from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.ports.keys import KeySink
from callout.web.hub import Hub


class PageView:
    """Shows a session to its viewers.

    report: a summary in plain lines. worded: puts advice into words for these viewers.
    """

    def __init__(
        self,
        hub: Hub,
        report: Callable[[Any], Iterable[str]],
        worded: Callable[[str], str] = str,
    ) -> None:
        self._hub = hub
        self._report = report
        self._worded = worded

    def open(self, safety: str) -> None:
        """Show the safety note."""
        self._hub.put(safety=safety, stage="running")

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Show the session."""
        troubles = tuple(replace(t, message=self._worded(t.message)) for t in view.troubles)
        told = [self._worded(line) for line in news]
        self._hub.put(told, view=replace(view, troubles=troubles), notice="")

    def typing(self, text: str) -> None:
        """Show the reply being typed at the terminal."""
        self._hub.put(typed=text)

    def redraw(self) -> None:
        """Nothing: a browser redraws by itself."""

    def notice(self, message: str, hint: str = "") -> None:
        """Show an error."""
        said = self._worded(f"{message} {hint}".strip())
        self._hub.put((said,), notice=said)

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """Show the summary; the journal's name is included, but its path stays on the terminal."""
        over = tuple(self._worded(line) for line in self._report(summary))
        self._hub.put(over=over, typed="", session=PurePath(journal).stem)

    def close(self) -> None:
        """Nothing: the last screen stays."""


class PageKeys:
    """Replies and single keys from the page."""

    def __init__(self, hub: Hub) -> None:
        self._hub = hub
        self._asked = ""

    def start(self, sink: KeySink) -> None:
        """Start to take presses."""
        self._hub.sink = sink

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Make presses count for ``item_id`` from now on."""
        if item_id != self._asked:
            self._asked = item_id
            self._hub.put(asked=item_id)

    def taken(self) -> None:
        """Nothing waits for this."""

    def close(self) -> None:
        """Take no more presses."""
        self._hub.sink = None
