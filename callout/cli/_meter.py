"""What ``callout mic`` prints while it runs: its requests, and a level meter."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from callout.outlet import drawing_stream
from callout.quiet import native_errors_hidden

if TYPE_CHECKING:
    from callout.app.listening.enrolling import Step
    from callout.app.listening.microphone_booth import LevelReading

_LOW_DB, _HIGH_DB = -70.0, 0.0
_EVERY = 8
"""Readings per line if the meter does not move: about a second."""


class Meter:
    """Prints requests and the sound level.

    aside: standard output is for a program; requests go to standard error, and levels are not
    shown.
    """

    def __init__(self, *, moving: bool, aside: bool = False) -> None:
        self._moving = moving
        self._aside = aside
        self._shown = 0
        self._width = 0

    def tell(self, line: str) -> None:
        """Print one line."""
        self.end()
        click.echo(line, err=self._aside)

    def ask(self, step: Step) -> None:
        """Ask for one word of an enrolment."""
        why = f"{step.again} Again: " if step.again else "Say: "
        self.tell(f"[{step.number}/{step.total}] {why}{step.word.upper()}")

    def show(self, reading: LevelReading) -> None:
        """Show the current level."""
        self._shown += 1
        if self._aside or not reading.level.seconds:
            return
        if self._moving:
            self._draw(
                _level_bar(reading, min(40, shutil.get_terminal_size((80, 24)).columns - 42))
            )
        elif self._shown % _EVERY == 0:
            click.echo(f"  level {reading.level.rms_db:.0f} dB, noise {reading.noise_db:.0f} dB")

    @contextmanager
    def running(self) -> Iterator[None]:
        """Keep the screen clean while sound is taken: no C library messages, no half-finished
        line.
        """
        with native_errors_hidden():
            try:
                yield
            finally:
                self.end()

    def end(self) -> None:
        """End the moving line."""
        if self._width:
            self._draw("")
            _redraw_line("")
            self._width = 0

    def _draw(self, line: str) -> None:
        _redraw_line(line.ljust(self._width))
        self._width = len(line)


def _redraw_line(line: str) -> None:
    out = drawing_stream(sys.stdout)
    out.write(f"\r{line}")
    out.flush()


def _level_bar(reading: LevelReading, width: int) -> str:
    level = reading.level
    filled = _bar_place(level.rms_db, width)
    noise = min(_bar_place(reading.noise_db, width), width - 1)
    cells = ["#" if n < filled else "." for n in range(width)]
    cells[noise] = "|"
    words = "TOO LOUD" if level.clipped else "voice" if reading.speaking else ""
    return f"  [{''.join(cells)}] {level.rms_db:4.0f} dB  noise {reading.noise_db:4.0f} dB  {words}"


def _bar_place(decibels: float, width: int) -> int:
    share = (decibels - _LOW_DB) / (_HIGH_DB - _LOW_DB)
    return round(width * min(1.0, max(0.0, share)))
