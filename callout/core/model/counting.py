"""Numbers in words."""

from __future__ import annotations


def times_words(count: int) -> str:
    """Return "once", "twice", "3 times"."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def counted_noun(count: int, noun: str) -> str:
    """Return "1 item", "3 items"."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
