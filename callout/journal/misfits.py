"""Records that are intact but contradict each other: written by hand, or by a fault."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from callout.core.sentences import journals as sentences
from callout.errors import JournalDamaged

MISFITS = (TypeError, ValueError, KeyError, IndexError, AttributeError, ArithmeticError)
"""What processing such records raises."""


@contextmanager
def making_sense(path: Path) -> Iterator[None]:
    """Turn what contradictory records raise into JournalDamaged."""
    try:
        yield
    except MISFITS as error:
        said = sentences.records_contradict(path)
        raise JournalDamaged(said, "Start the list again with: callout run") from error
