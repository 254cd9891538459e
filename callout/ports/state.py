"""The state port: tells a session the positions of the aircraft's controls."""

from __future__ import annotations

from typing import Protocol

from callout.core.state.board import Board, Move


class StateSink(Protocol):
    """Takes what a source reports, from any thread."""

    def on_state(self, board: Board, moves: tuple[Move, ...]) -> None:
        """Take what is known now, and what has moved since the last report.

        Times are those of the clock that the source was given.
        """

    def on_state_lost(self, message: str, hint: str = "") -> None:
        """Take the news that nothing comes any more."""

    def on_state_back(self) -> None:
        """Take the news that state comes again."""


class StateSource(Protocol):
    """Reports the state of the aircraft; never raises once started."""

    name: str
    """What it is, in words; empty: there is none."""

    def start(self, sink: StateSink) -> None:
        """Begin to report; raises CalloutError where it cannot."""

    def asked(self, item_id: str, attempt: int = 1) -> None:
        """Learn what is being asked, before it is listened for."""

    def close(self) -> None:
        """End; safe to call twice."""
