"""A progress bar for work on files."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from callout.app.models.model_record import Progress


@contextlib.contextmanager
def progress_bar(what: str) -> Iterator[Progress]:
    """Yield a function that draws a bar on standard error, if that is a terminal."""
    from rich.progress import DownloadColumn, TimeRemainingColumn, TransferSpeedColumn

    columns = (DownloadColumn(), TransferSpeedColumn(), TimeRemainingColumn())
    with _drawn_bar(what, columns) as draw:
        yield draw


@contextlib.contextmanager
def counting_bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """Yield a function that takes the counts done and total, and draws a bar likewise."""
    from rich.progress import MofNCompleteColumn, TimeRemainingColumn

    with _drawn_bar(what, (MofNCompleteColumn(), TimeRemainingColumn())) as draw:
        yield draw


@contextlib.contextmanager
def _drawn_bar(what: str, columns: tuple[Any, ...]) -> Iterator[Callable[[int, int | None], None]]:
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bars

    from callout.terminal.console import make_console

    console = make_console(errors=True)
    if not console.is_terminal:  # before 14, rich ends even a bar that is not drawn with a line
        yield lambda done, total: None
        return
    head = (TextColumn("{task.description}"), BarColumn())
    with Bars(*head, *columns, console=console, transient=True) as bars:
        task = bars.add_task(what, total=None)
        yield lambda done, total: bars.update(task, completed=done, total=total)
