"""The speaking port."""

from __future__ import annotations

from typing import Protocol


class Speaker(Protocol):
    """A voice that reads challenges aloud."""

    name: str

    def say(self, text: str) -> bool:
        """Speak ``text`` and return when it is over: True if spoken, False if interrupted or
        failed.

        Never raises and never outlasts its deadline (a few seconds plus a time per word).
        """

    def stop(self) -> None:
        """Stop the current speech; safe from another thread and when nothing is being spoken."""

    def close(self) -> None:
        """End the voice; safe to call twice."""
