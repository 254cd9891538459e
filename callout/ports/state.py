"""The state port: reports the positions of the aircraft's controls to a session."""

from __future__ import annotations

from typing import Protocol

from callout.core.state.board import Board, Move


class StateSink(Protocol):
    """Receives what a source reports, from any thread."""

    def on_state(self, board: Board, moves: tuple[Move, ...]) -> None:
        """Report what is known now, and what has moved since the last report.

        Times are those of the clock that the source was given.
        """

    def on_state_lost(self, message: str, hint: str = "") -> None:
        """Report that nothing is coming any more."""

    def on_state_back(self) -> None:
        """Report that state is coming again."""


class StateSource(Protocol):
    """Reports the state of the aircraft; never raises once started."""

    name: str
    """What it is, in words; empty: there is none."""

    def start(self, sink: StateSink) -> None:
        """Begin to report; raises CalloutError on failure."""

    def asked(self, item_id: str, attempt: int = 1) -> None:
        """Note what is being asked, before listening begins."""

    def close(self) -> None:
        """Stop; safe to call twice."""
