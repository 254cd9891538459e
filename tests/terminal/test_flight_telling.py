"""Every record of a flight is told in a sentence of its own."""

from __future__ import annotations

from callout.terminal.telling import journal_lines
from tests.core.keeping.test_record_codec import FLIGHT


def test_every_record_is_told() -> None:
    lines = list(journal_lines(FLIGHT))
    assert len(set(lines)) == len(FLIGHT)
    for record, line in zip(FLIGHT, lines, strict=True):
        assert type(record).__name__ not in line
        assert line.startswith("12:00:00  ")
    assert "Aircraft taken over: cold." in lines[0]
    assert "Not completed at that point: W." in lines[2]
