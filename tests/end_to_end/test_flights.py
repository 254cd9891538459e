"""Whole flights through the command: golden journals, kills at random moments, a full disk."""

from __future__ import annotations

import json
import os
import random
import re
import signal
import time
from pathlib import Path

import pytest

from callout.bench.hostile.nursery import Nursery
from callout.core.checklist_run.causes import Ending
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.flight_run.records import SetUpStated
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorProgress
from callout.journal.jsonl_reader import read_journal
from tests.core.flight_kit import FLIGHT, LISTS
from tests.end_to_end.test_full_disk import FULL, Session, fill, small_disk
from tests.end_to_end.test_scripted import GOLDEN, callout, told

__all__ = ["small_disk"]

KILLS = int(os.environ.get("CALLOUT_KILLS", "36"))
FLIGHT_S = 0.25
"""About how long a scripted flight takes when nobody kills it."""
CALLS = {
    "power-up": "power-up checklist",
    "before-start": "before start checklist",
    "taxi": "taxi checklist",
}
CHANGES = {"before-start": ("fuelling complete", "fuelling in progress")}
"""What is said of the set-up before a list is called, in the killed flights."""
REPLIES = {
    "battery": ["on"],
    "fire-test": ["passed"],
    "data": ["hold", "continue", "compared"],
    "refuelling": ["complete"],
    "beacon": ["off", "on"],
    "flaps": ["five"],
    "speed": ["117 knots"],
}
SEALS = ("prev", "sum")
VARYING = (
    "utc",
    "at",
    "seconds",
    "session_id",
    "sector_id",
    "mark",
    "about",
    "code",
    "reason",
    *SEALS,
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "aircraft"
    made.mkdir()
    for text in LISTS:
        name = re.search(r"^id: (.*)$", text, re.MULTILINE)
        assert name
        (made / f"{name[1]}.yaml").write_text(text.lstrip())
    (made / "flight.yaml").write_text(FLIGHT.lstrip())
    return made


def flight_journal(journals: Path) -> Path | None:
    return next(iter(sorted((journals / "flights").glob("*.jsonl"))), None)


def all_told(journals: Path) -> str:
    """Return the flight's journal and its lists' without what differs from run to run."""
    own = flight_journal(journals)
    assert own
    lines = []
    for line in own.read_text().splitlines():
        fields = {k: v for k, v in json.loads(line).items() if k not in VARYING}
        lines.append(json.dumps(fields))
    lists = sorted(journals.glob("*.jsonl"), key=lambda path: path.stem[-2:])
    return "\n".join([*lines, *(told(path).rstrip("\n") for path in lists)]) + "\n"


def test_a_flight_leaves_the_golden_journals(folder: Path, tmp_path: Path) -> None:
    journals = tmp_path / "journals"
    said = [
        "what is due", "taxi checklist", "no", "power-up checklist", "on", "engine fire drill",
        "cutoff", "power up checklist", "passed", "taxiing", "next checklist",
        "fuelling complete", "compared", "on", "taxi checklist", "five", "117", "power-up",
        "no", "end of flight", "yes",
    ]  # fmt: skip
    done = callout("fly", str(folder), "--journal-dir", str(journals), said=said)
    assert done.returncode == 0, done.stderr
    golden = GOLDEN / "flight.jsonl"
    if os.environ.get("CALLOUT_WRITE_GOLDEN"):
        golden.write_text(all_told(journals))
    assert all_told(journals) == golden.read_text()
    assert "Practice flight: ended." in done.stdout
    assert "Fire test" in done.stdout


def test_a_flight_is_listed_with_its_lists(folder: Path, tmp_path: Path) -> None:
    options = ["--journal-dir", str(tmp_path / "journals")]
    said = ["power-up checklist", "on", "cutoff", "passed", "end of flight", "yes"]
    callout("fly", str(folder), *options, said=said)
    callout("fly", str(folder), *options, said=[])
    listed = callout("journal", *options).stdout.splitlines()
    assert [line.split()[2] for line in listed] == ["unfinished", "ended", listed[2].split()[2]]
    assert "Flight: Practice flight" in listed[1]
    assert listed[2].startswith("  ")
    assert "Power-up" in listed[2]
    assert len(listed) == 3, "a list stands under its flight and nowhere else"
    told = [json.loads(line) for line in callout("journal", "--json", *options).stdout.splitlines()]
    assert [(one["kind"], one["flight"]) for one in told[1:]] == [
        ("flight", Path(told[1]["journal"]).stem),
        ("list", Path(told[1]["journal"]).stem),
    ]
    summed = callout("journal", told[1]["journal"]).stdout
    assert "Practice flight: ended." in summed
    assert "Not completed: " in summed
    assert callout("journal", "--rows", "1", *options).stdout.splitlines() == listed[:1]


def test_what_was_done_today_is_not_asked_in_the_next_flight(folder: Path, tmp_path: Path) -> None:
    options = ["--journal-dir", str(tmp_path / "journals")]
    end = ["end of flight", "yes"]
    first = ["power-up checklist", "on", "passed", *end]
    assert callout("fly", str(folder), *options, said=first).returncode == 0
    second = callout("fly", str(folder), *options, said=["power-up checklist", "on", *end])
    assert re.search(r"Fire test: done (today|yesterday) at \d\d:\d\d\.", second.stdout)
    assert "Power-up complete." in second.stdout
    alone = callout("run", str(folder / "power-up.yaml"), *options, said=["on"])
    assert re.search(r"Fire test: done (today|yesterday) at \d\d:\d\d\.", alone.stdout)
    over = ["yes", "no", *first]
    taken = callout("fly", str(folder), "--as-found", "cold and dark", *options, said=over)
    assert "Aircraft taken over: cold and dark." in taken.stdout
    assert "/2] Fire test?" in taken.stdout


def test_resume_returns_to_the_exact_item_of_the_open_list(folder: Path, tmp_path: Path) -> None:
    options = ["--journal-dir", str(tmp_path / "journals")]
    callout("fly", str(folder), *options, said=["power-up checklist", "on"])
    (path,) = (tmp_path / "journals").glob("*.jsonl")
    again = callout("resume", str(path), *options, said=["passed", "end of flight", "yes"])
    assert "Continuing at Fire test. Last completed: Battery, on." in again.stdout
    assert "Power-up complete." in again.stdout
    assert callout("resume", *options).returncode == 2


def test_a_flight_needs_a_folder_of_one_aircraft(folder: Path, tmp_path: Path) -> None:
    twin = folder / "other"
    twin.mkdir()
    (twin / "x.yaml").write_text(LISTS[0].lstrip())
    both = callout("fly", str(folder))
    assert both.returncode == 2
    assert '"power-up" is also the id of' in both.stderr or "x.yaml" in both.stderr
    empty = tmp_path / "empty"
    empty.mkdir()
    assert "holds no checklists" in callout("fly", str(empty)).stderr
    (twin / "x.yaml").unlink()
    wrong = callout("fly", str(folder), "--first", "landing")
    assert wrong.returncode == 2
    assert "The lists are: power-up, before-start, anti-ice, taxi, fire." in wrong.stderr


def state_of(journals: Path) -> tuple[SectorProgress, Progress | None]:
    own = flight_journal(journals)
    progress = replay_sector(read_journal(own).records) if own else SectorProgress()
    run = progress.open_run
    path = journals / f"{run.session_id}.jsonl" if run else None
    records = read_journal(path).records if path and path.exists() else ()
    return progress, replay_list(records) if records else None


def script_from(journals: Path) -> str:
    """Return what a person would say from here to the end of the flight."""
    progress, inner = state_of(journals)
    lines: list[str] = []
    open_list = inner if inner and not inner.ending else None
    if open_list:
        lines += ["continue"] if open_list.held else []
        ids = [open_list.plan.items[n].id for n in open_list.open_items]
        lines += [line for item_id in ids for line in REPLIES[item_id]]
    run = progress.open_run
    begun = {run.list_id} if run and (open_list or (inner and inner.ending)) else set()
    for list_id, call in CALLS.items():
        if progress.completed(list_id) or list_id in begun:
            continue
        unbegun = run is not None and run.list_id == list_id
        lines += [] if unbegun else [*CHANGES.get(list_id, ()), call]
        items = {"power-up": ["battery", "fire-test"], "taxi": ["flaps", "speed"]}
        ids = items.get(list_id, ["data", "refuelling", "beacon"])
        lines += [line for item_id in ids for line in REPLIES[item_id]]
    return "".join(f"{line}\n" for line in [*lines, "end of flight", "yes"])


@pytest.mark.parametrize("round_", range(4))
def test_killed_at_random_moments_a_flight_loses_nothing(
    nursery: Nursery, folder: Path, tmp_path: Path, round_: int
) -> None:
    chance = random.Random(round_)
    journals, script, screen = tmp_path / "journals", tmp_path / "said", tmp_path / "screen"
    options = ["--journal-dir", str(journals), "--plain", "--silent"]
    before: dict[Path, bytes] = {}
    for _ in range(KILLS // 4):
        progress, _inner = state_of(journals)
        if progress.ended:
            break
        args = ["resume"] if progress.sector_id else ["fly", str(folder)]
        if not progress.sector_id and (path := flight_journal(journals)):
            path.unlink()
        script.write_text(script_from(journals))
        pid = nursery.start([*args, *options], script, screen)
        time.sleep(chance.uniform(0.0, FLIGHT_S))
        os.kill(pid, signal.SIGKILL)
        nursery.wait(pid)
        now = {path: path.read_bytes() for path in journals.rglob("*.jsonl")}
        for path, data in before.items():
            if path in now:
                assert now[path].startswith(data[: data.rfind(b"\n") + 1]), "it has changed"
        before = now
    progress, inner = state_of(journals)
    if not progress.ended:
        script.write_text(script_from(journals))
        args = ["resume"] if progress.sector_id else ["fly", str(folder)]
        last = tmp_path / "last"
        assert nursery.wait(nursery.start([*args, *options], script, last)) == 0
        if inner and inner.item and not inner.held and not inner.question:
            first = re.search(r"^\[\d+/\d+\] (.*?)\?", last.read_text(), re.MULTILINE)
            assert first
            assert first[1] == inner.item.challenge
    progress, _ = state_of(journals)
    assert progress.ended
    own = flight_journal(journals)
    assert own
    stated = [r for r in read_journal(own).records if isinstance(r, SetUpStated)]
    assert [r.state for r in stated[-2:]] == [False, True]
    assert all(progress.completed(list_id) for list_id in CALLS)
    for run in progress.runs:
        final = replay_list(read_journal(journals / f"{run.session_id}.jsonl").records)
        assert final.ending is Ending.COMPLETED
        assert {item.outcome for item in final.items} == {ItemOutcome.ANSWERED}


def test_a_full_disk_stops_a_flight_where_it_is_and_it_goes_on(
    small_disk: Path, folder: Path
) -> None:
    journals = small_disk / "journals"
    with Session("fly", str(folder), "--journal-dir", str(journals), "--silent") as session:
        session.until("Next: Power-up")
        session.say("power-up checklist")
        session.until("Battery?")
        ballast = fill(small_disk)
        for _ in range(400):
            session.say("off")
            if FULL in session.until("Mismatch.", FULL):
                break
        ballast.unlink()
        session.say("on")
        session.until("Fire test?")
        session.say("passed")
        session.until("Next: Before start")
        session.say("end of flight")
        session.until("End the flight?")
        session.say("yes")
        session.until("Journal:")
    progress, _ = state_of(journals)
    assert progress.ended
    assert progress.completed("power-up")
