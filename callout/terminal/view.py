"""The full-screen view: a large challenge, the list, what was heard and the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from rich.console import Console
from rich.live import Live
from rich.text import Text
from rich.theme import Theme

from callout.core.conversation.summary import CommonSummary
from callout.core.conversation.view_model import ViewModel
from callout.outlet import OutputGone
from callout.terminal.console import Harmless
from callout.terminal.console import make_console as on_screen
from callout.terminal.report import report_lines
from callout.terminal.screen import draw_screen
from callout.terminal.theme import PALETTES, Colours


class RichView:
    """Draws on the terminal's alternate screen, so that the main one is restored afterwards."""

    def __init__(self, colours: Colours = Colours.DARK, console: Console | None = None) -> None:
        theme = Theme(PALETTES[colours])
        self._console = console or on_screen(theme)
        self._live: Live | None = None
        self._safety = ""
        self._view = ViewModel(title="")
        self._typed = ""
        self._notice = ""

    def open(self, safety: str) -> None:
        """Take over the screen."""
        self._safety = safety
        self._live = Live(console=self._console, screen=True, auto_refresh=False)
        self._live.start()

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        """Draw the session again."""
        self._view = view
        self._notice = ""
        self._draw()

    def typing(self, text: str) -> None:
        """Show the reply being typed."""
        self._typed = text
        self._draw()

    def redraw(self) -> None:
        """Draw again, for another size."""
        self._draw()

    def notice(self, message: str, hint: str = "") -> None:
        """Show an error above the typing line."""
        self._notice = f"{message} {hint}".strip()
        self._draw()

    def finish(self, summary: CommonSummary, journal: str, safety: str) -> None:
        """Restore the screen and print the summary below its earlier contents."""
        self.close()
        for line in report_lines(summary):
            self._console.print(Text(line))
        self._console.print(Text(f"Journal: {journal}"), soft_wrap=True)
        self._console.print(Text(safety))

    def close(self) -> None:
        """Restore the screen."""
        live, self._live = self._live, None
        if live is not None:
            with suppress(OutputGone):  # a terminal that hung up needs no restoring
                live.stop()

    def _draw(self) -> None:
        if self._live is None:
            return
        size = self._console.size
        encoding = self._console.encoding
        picture = draw_screen(self._view, self._typed, self._notice, self._safety, size, encoding)
        with suppress(OutputGone):  # the journal holds what the screen could not show
            self._live.update(Harmless([picture]), refresh=True)
