"""Journals of demonstrations: nobody replied, so they say nothing about any person."""

from __future__ import annotations

from collections.abc import Sequence

from callout.core.conversation.records import JournalRecord

DEMONSTRATIONS = "demonstrations"
"""Folder of their journals, inside the journal folder."""
MADE = "made"
"""How a journal marks itself if no person replied."""
DEMONSTRATION = "demonstration"


def is_demonstration(records: Sequence[JournalRecord]) -> bool:
    """Say whether a journal is that of a demonstration, wherever it is: it says so itself."""
    return bool(records) and getattr(records[0], "about", {}).get(MADE) == DEMONSTRATION
