"""The terminal as the drawing library sees it; every text drawn is made harmless first."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from rich.console import Console, ConsoleOptions, ConsoleRenderable, RenderHook, RenderResult
from rich.segment import Segment

from callout.outlet import drawing_stream, harmless_text

if TYPE_CHECKING:
    from rich.theme import Theme


class Harmless:
    """Something to draw, with every text in it made harmless."""

    def __init__(self, inner: Iterable[Any]) -> None:
        self._inner = tuple(inner)

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for inner in self._inner:
            for segment in console.render(inner, options):
                text, style, control = segment
                yield segment if control else Segment(harmless_text(text), style)


class _Hook(RenderHook):
    def process_renderables(self, renderables: list[ConsoleRenderable]) -> list[ConsoleRenderable]:
        return [Harmless([one]) if not _is_control(one) else one for one in renderables]


def _is_control(one: object) -> bool:
    from rich.control import Control

    return isinstance(one, Control)


def make_console(theme: Theme | None = None, *, errors: bool = False) -> Console:
    """Return a console on standard output, or standard error."""
    made = Console(
        file=drawing_stream(sys.stderr if errors else sys.stdout),
        theme=theme,
        highlight=False,
        markup=False,
        emoji=False,
    )
    made.push_render_hook(_Hook())
    return made
