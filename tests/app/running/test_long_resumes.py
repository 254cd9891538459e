"""Going on with a long session: the work grows with its length, and each record is read twice."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from types import FrameType

import pytest

from callout.app.running.unfinished import unfinished_journal
from callout.core.checklist_run.replay import replay_list
from callout.errors import CalloutError
from callout.journal.jsonl_writer import create_journal, reopen_journal
from tests.core.session_kit import Desk

WHEN = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


def kept(folder: Path, replies: int) -> Path:
    desk = Desk().start()
    for _ in range(replies):
        desk.say("off")
    made = create_journal(folder, "x", WHEN, f"{replies}")
    made.append(desk.records)
    made.close()
    return Path(made.where)


def calls(work: Callable[[], object]) -> int:
    """Return how many functions were called: a measure that a busy machine does not change."""
    count = 0

    def note(frame: FrameType, event: str, arg: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count


def resume(path: Path) -> None:
    unfinished_journal(path)
    writer, found = reopen_journal(path)
    replay_list(found.records)
    writer.close()


def test_twice_as_long_takes_twice_the_work(tmp_path: Path) -> None:
    resume(kept(tmp_path, 10))  # converters are made once
    one, two, four = (calls(partial(resume, kept(tmp_path, n))) for n in (100, 200, 400))
    assert 1.8 < (four - two) / (two - one) < 2.2


def test_an_empty_journal_and_a_drill_are_not_called_finished(tmp_path: Path) -> None:
    (tmp_path / "x.jsonl").touch()
    with pytest.raises(CalloutError, match="is empty"):
        unfinished_journal(tmp_path / "x.jsonl")
