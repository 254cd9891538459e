"""Journals of demonstrations: nobody replied, so they say nothing of any person."""

from __future__ import annotations

from collections.abc import Sequence

from callout.core.conversation.records import JournalRecord

DEMONSTRATIONS = "demonstrations"
"""Folder of their journals, inside that of the lists' journals."""
MADE = "made"
"""What a journal says of itself when no person replied."""
DEMONSTRATION = "demonstration"


def is_demonstration(records: Sequence[JournalRecord]) -> bool:
    """Say whether a journal is that of a demonstration, wherever it lies: it says so itself."""
    return bool(records) and getattr(records[0], "about", {}).get(MADE) == DEMONSTRATION
