"""Sessions that are killed, in numbers that fit a test run; `callout bench kills` kills 1,000."""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

import pytest

from callout.bench.hostile.kept import acknowledged, kept_in, lost
from callout.bench.hostile.kills import KINDS, kill_table, run_kills
from callout.core.conversation.records import JournalRecord
from callout.journal.jsonl_writer import line_of
from tests.core.session_kit import Desk


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_nothing_that_was_acknowledged_is_lost(tmp_path: Path) -> None:
    found = list(run_kills(18, 1_000, tmp_path))
    assert [one for one in found if one.wrong] == []
    assert sum(one.killed for one in found) >= 18
    assert sum(one.told for one in found) > 10
    assert {one.kind for one in found} == set(KINDS)
    assert len(list(kill_table(found))) == 2 + len(KINDS)


def _journal(path: Path, records: list[JournalRecord]) -> Path:
    path.write_bytes(b"".join(line_of(record) for record in records))
    return path


def test_what_a_screen_told_and_no_journal_holds_is_found(tmp_path: Path) -> None:
    """Screen and journal of one session; then the journal without its last records."""
    records = Desk().start().say("off").say("on").say("hold").records
    screen = 'Mismatch. Heard "off"; this item\nRight: on.\nHolding at Beacon.\nRight: cut off'
    told = acknowledged(screen)
    assert told == {("mismatch", "off"): 1, ("match", ""): 1, ("held", ""): 1}
    whole = kept_in([_journal(tmp_path / "whole.jsonl", records)])
    assert not lost(told, Counter(), whole)
    short = kept_in([_journal(tmp_path / "short.jsonl", records[:-4])])
    assert lost(told, Counter(), short)
    assert lost(told, whole, whole) == told, "what was there before is not counted again"
