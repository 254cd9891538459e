"""The view for pipes and screen readers: one line an event, nothing drawn."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO

from callout.core.sector.summary import SectorSummary
from callout.core.summary import Summary
from callout.core.view_model import ViewModel
from callout.terminal.report import report_lines


class PlainView:
    """Prints lines to ``stream``; a reader that goes away does not end the session."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def open(self, safety: str) -> None:
        """Print the safety note."""
        self._print(safety)

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Print what just happened."""
        self._print(*news)

    def typing(self, text: str) -> None:
        """Nothing: the terminal itself shows what is typed."""

    def redraw(self) -> None:
        """Nothing: lines stay where they are."""

    def notice(self, message: str, hint: str = "") -> None:
        """Print trouble."""
        self._print(*(line for line in (message, hint) if line))

    def finish(self, summary: Summary | SectorSummary, journal: str, safety: str) -> None:
        """Print the summary."""
        self._print("", *report_lines(summary), f"Journal: {journal}", safety)

    def close(self) -> None:
        """Nothing to give back."""

    def _print(self, *lines: str) -> None:
        try:
            for line in lines:
                self._stream.write(_printable(line, self._stream) + "\n")
            self._stream.flush()
        except (OSError, ValueError):
            return  # the journal holds what the screen could not show


def _printable(line: str, stream: TextIO) -> str:
    encoding = getattr(stream, "encoding", None) or "utf-8"
    return line.encode(encoding, "replace").decode(encoding)
