"""A journal that another program removes or replaces under a running session."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.records import Replied
from callout.core.checklist_run.replay import replay_list
from callout.core.conversation.records import Failed
from callout.journal.jsonl_reader import read_journal
from tests.end_to_end.conftest import RIGHT
from tests.end_to_end.test_full_disk import Session


def _remove(path: Path) -> None:
    path.unlink()


def _remove_all(path: Path) -> None:
    shutil.rmtree(path.parent)


def _replace(path: Path) -> None:
    older = path.read_bytes().splitlines(keepends=True)[0]
    beside = path.with_name("from-elsewhere")
    beside.write_bytes(older)
    os.replace(beside, path)


@pytest.mark.parametrize("lose", [_remove, _remove_all, _replace])
def test_it_is_told_and_nothing_is_lost(
    checklist: Path, tmp_path: Path, lose: Callable[[Path], None]
) -> None:
    folder = tmp_path / "journals"
    args = ["run", str(checklist), "--journal-dir", str(folder), "--plain", "--silent"]
    with Session(*args) as session:
        session.until("Beacon?")
        session.say("off")
        session.until("Mismatch")
        (path,) = folder.glob("*.jsonl")
        lose(path)
        session.say("on")
        assert "nothing is lost" in session.until("It has been written again")
        for words in list(RIGHT.values())[1:]:
            session.say(words)
        session.until("Line-up checklist complete")
        assert session.end() == 0
    records = read_journal(path).records
    assert replay_list(records).ending is Ending.COMPLETED
    assert [x.utterance.transcript for x in records if isinstance(x, Replied)][:2] == ["off", "on"]
    assert [x.part for x in records if isinstance(x, Failed)] == ["journal"]
