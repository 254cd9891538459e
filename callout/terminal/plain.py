"""The view for pipes and screen readers: one line per event, nothing drawn."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import TextIO

from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.outlet import OutputGone
from callout.terminal.report import report_lines


class PlainView:
    """Prints lines to ``stream``; a reader that goes away does not end the session.

    On a terminal, lines are wrapped between words; a pipe gets them whole.
    """

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
        """Print an error."""
        self._print(*(line for line in (message, hint) if line))

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """Print the summary."""
        self._print("", *report_lines(summary), f"Journal: {journal}", safety)

    def close(self) -> None:
        """Nothing to restore."""

    def _print(self, *lines: str) -> None:
        try:
            for line in fitted_lines(lines, self._stream):
                self._stream.write(_printable_line(line, self._stream) + "\n")
            self._stream.flush()
        except (OSError, ValueError, OutputGone):
            return  # the journal holds what the screen could not show


def fitted_lines(lines: Iterable[str], stream: TextIO) -> Iterator[str]:
    """Yield lines wrapped between words if ``stream`` is a terminal; a path stays whole."""
    if not stream.isatty():
        yield from lines
        return
    width = shutil.get_terminal_size().columns
    for line in lines:
        indent = line[: len(line) - len(line.lstrip())] + "  "
        yield from textwrap.wrap(
            line, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
        ) or [""]


def print_indented(line: str) -> None:
    """Print ``line`` indented and fitted; a reader that has gone away is not an error."""
    PlainView(sys.stdout).notice(f"  {line}")


def _printable_line(line: str, stream: TextIO) -> str:
    encoding = getattr(stream, "encoding", None) or "utf-8"
    return line.encode(encoding, "replace").decode(encoding)
