"""Records that are each intact but contradict one another: written by hand, or by a fault."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from callout.core.sentences import journals as sentences
from callout.errors import JournalDamaged

MISFITS = (TypeError, ValueError, KeyError, IndexError, AttributeError, ArithmeticError)
"""What going through such records ends in."""


@contextmanager
def making_sense(path: Path) -> Iterator[None]:
    """Turn what records that make no sense end in into JournalDamaged."""
    try:
        yield
    except MISFITS as error:
        said = sentences.records_contradict(path)
        raise JournalDamaged(said, "Start the list again with: callout run") from error
