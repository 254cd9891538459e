"""The sentences that every conversation says and shows."""

from __future__ import annotations

from callout.core.sentences import conversation as sentences

PRESSED_BEFORE = sentences.PRESSED_EARLY


def begun_before(text: str) -> str:
    """Return what happens to a line that was begun for another question."""
    return sentences.question_changed(text.strip())
