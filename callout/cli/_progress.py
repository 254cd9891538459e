"""A progress bar for work on files."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from callout.app.models.model_record import Progress


@contextlib.contextmanager
def progress_bar(what: str) -> Iterator[Progress]:
    """Yield a function that draws a bar on standard error, if that is a terminal."""
    from rich.progress import (
        BarColumn,
        DownloadColumn,
        TextColumn,
        TimeRemainingColumn,
        TransferSpeedColumn,
    )
    from rich.progress import Progress as Bars

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        DownloadColumn(),
        TransferSpeedColumn(),
        TimeRemainingColumn(),
    )
    from callout.terminal.console import make_console as on_screen

    console = on_screen(errors=True)
    with Bars(*columns, console=console, transient=True, disable=not console.is_terminal) as bars:
        task = bars.add_task(what, total=None)
        yield lambda done, total: bars.update(task, completed=done, total=total)


@contextlib.contextmanager
def counting_bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """Yield a function that is told how many of how many are done, and draws a bar likewise."""
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bars

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    from callout.terminal.console import make_console as on_screen

    console = on_screen(errors=True)
    with Bars(*columns, console=console, transient=True, disable=not console.is_terminal) as bars:
        task = bars.add_task(what, total=None)
        yield lambda done, total: bars.update(task, completed=done, total=total)
