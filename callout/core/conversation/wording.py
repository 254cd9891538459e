"""The sentences that every conversation says and shows."""

from __future__ import annotations

PRESSED_BEFORE = "That was pressed before this was asked. Press it again."


def begun_before(text: str) -> str:
    """Return what becomes of a line that was begun for something else."""
    return (
        f'"{text.strip()}" was begun too early: a new question was asked meanwhile. Type it again.'
    )
