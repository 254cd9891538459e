"""The keyboard port: typed replies and single keys."""

from __future__ import annotations

from typing import Protocol


class KeySink(Protocol):
    """Where a keyboard reports; every call is safe from any thread and returns at once."""

    def on_line(self, item_id: str, text: str) -> None:
        """Report a typed line and the id that was being asked when it was begun."""

    def on_key(self, key: str, item_id: str = "") -> None:
        """Report a single key pressed on an empty line, by its lower-case name.

        item_id: what was shown when it was pressed, where the screen may lag behind.
        """

    def on_typing(self, text: str) -> None:
        """Report the line as it stands."""

    def on_input_ended(self) -> None:
        """Report that no more will be typed (end of a pipe, terminal gone)."""

    def on_interrupt(self) -> None:
        """Report Ctrl-C."""


class Keys(Protocol):
    """Reads the keyboard in its own thread."""

    def start(self, sink: KeySink) -> None:
        """Begin to read."""

    def ask(self, item_id: str, *, idle: bool) -> None:
        """Tell that a reply to ``item_id`` is asked for; idle: nothing is being spoken."""

    def taken(self) -> None:
        """Tell that the last line or key reported has been dealt with."""

    def close(self) -> None:
        """Stop reading and give the terminal back; safe to call twice."""
