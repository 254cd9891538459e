"""Demonstrations count in nothing that is said of a person, unless they are asked for by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from callout.app.privacy.masking import export_journals
from callout.app.reports.collecting import collect_folder, open_for_collecting
from callout.app.reports.debriefing import LATEST, report_on
from callout.app.reports.journals import read_folder
from callout.app.running.unfinished import latest_unfinished, unfinished_journal
from callout.core.checklist_run.records import Began
from callout.core.conversation.records import JournalRecord
from callout.errors import CalloutError
from tests.reporting.kit import keep, rough

OWN = "20310504T060000Z-before-start-0000a1"
SHOWN = "20310505T060000Z-before-start-0000a2"


def named(records: Sequence[JournalRecord], name: str, **about: str) -> list[JournalRecord]:
    began = records[0]
    assert isinstance(began, Began)
    return [replace(began, session_id=name, about=about), *records[1:]]


@pytest.fixture(params=["", "demonstrations"], ids=["among the others", "apart"])
def folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """One session and a later demonstration, as earlier versions kept it and as it is kept now."""
    place = tmp_path / request.param
    place.mkdir(exist_ok=True)
    keep(place, SHOWN, named(rough(), SHOWN, made="demonstration"))
    keep(tmp_path, OWN, named(rough(), OWN))
    return tmp_path


def shown(folder: Path) -> Path:
    (path,) = folder.rglob(f"{SHOWN}.jsonl")
    return path


def test_trends_are_those_of_the_person(folder: Path) -> None:
    found = read_folder(folder)
    assert [s.session_id for s in found.facts.sessions] == [OWN]
    assert {i.session_id for i in found.facts.items} == {OWN}
    assert found.problems == ()


def test_the_latest_session_is_the_persons(folder: Path) -> None:
    (one,) = report_on(LATEST, folder).debriefs
    assert one.session.session_id == OWN


def test_a_demonstration_is_debriefed_by_its_path_or_its_name(folder: Path) -> None:
    for what in (str(shown(folder)), SHOWN, SHOWN[:12]):
        (one,) = report_on(what, folder).debriefs
        assert one.session.session_id == SHOWN


def test_only_a_demonstration_is_no_session_yet(folder: Path) -> None:
    (folder / f"{OWN}.jsonl").unlink()
    with pytest.raises(CalloutError, match="There are no sessions"):
        report_on(LATEST, folder)
    assert read_folder(folder).facts.sessions == ()


def test_a_collection_leaves_it_out_and_does_not_read_it_again(folder: Path) -> None:
    pytest.importorskip("duckdb")
    with open_for_collecting(folder / "c.duckdb") as collection:
        found = collect_folder(folder, collection)
        assert (collection.counts()["sessions"], found.problems) == (1, [])
        assert collect_folder(folder, collection).new == 0
        assert collection.counts()["sessions"] == 1


def test_nothing_goes_on_with_a_demonstration_but_by_its_path(folder: Path) -> None:
    path = shown(folder)
    keep(path.parent, SHOWN, named(rough(), SHOWN, made="demonstration")[:-1])
    with pytest.raises(CalloutError, match="no unfinished session"):
        latest_unfinished(folder, pytest.fail)
    assert unfinished_journal(path).path == path
    keep(folder, OWN, named(rough(), OWN)[:-1])
    assert latest_unfinished(folder, pytest.fail).path == folder / f"{OWN}.jsonl"


def test_it_is_not_exported_to_an_instructor(folder: Path, tmp_path: Path) -> None:
    to = tmp_path.parent / f"{tmp_path.name}-out"
    assert export_journals([folder], to, b"s" * 32).journals == 1
