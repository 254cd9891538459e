"""The keyboard port: typed replies and single keys."""

from __future__ import annotations

from typing import Protocol


class KeySink(Protocol):
    """Receives keyboard input; every call is safe from any thread and returns at once."""

    def on_line(self, item_id: str, text: str) -> None:
        """Report a typed line and the id that was being asked when the typing began."""

    def on_key(self, key: str, item_id: str = "") -> None:
        """Report a single key pressed on an empty line, by its lower-case name.

        item_id: what was on the screen at that time, if the screen may lag behind.
        """

    def on_typing(self, text: str) -> None:
        """Report the line typed so far."""

    def on_input_ended(self) -> None:
        """Report that no more input will come (end of a pipe, terminal gone)."""

    def on_interrupt(self) -> None:
        """Report Ctrl-C."""


class Keys(Protocol):
    """Reads the keyboard in its own thread."""

    def start(self, sink: KeySink) -> None:
        """Begin to read."""

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Announce that a reply to ``item_id`` is expected; idle: nothing is being spoken."""

    def taken(self) -> None:
        """Confirm that the last reported line or key has been handled."""

    def close(self) -> None:
        """Stop reading and restore the terminal; safe to call twice."""
