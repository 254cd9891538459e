"""Items due once a day, a power-up or a crew: what the journals say of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from callout.app.running.done_earlier import NO_PAST, read_past
from callout.core.checklist_run import records as r
from callout.core.checklist_run.causes import Ending, Why
from callout.core.conversation.records import JournalRecord
from callout.core.model.checklist import Checklist
from callout.core.model.utterance import typed_utterance
from callout.core.model.verdict import Verdict
from callout.core.planning.run_plan import plan_for
from callout.journal.jsonl_writer import create_journal
from tests.core.flight_kit import flight, written
from tests.core.session_kit import Desk

ZONE = timezone(timedelta(hours=5, minutes=30))
NOW = datetime(2031, 5, 4, 9, 0, tzinfo=ZONE)
PREPARE = written("""
callout: 1
id: prepare
title: Preparation
phase: power-up
method: challenge-and-response
complete: preparation complete
items:
  - {id: daily, challenge: Daily test, response: passed, once: day}
  - {id: powered, challenge: Lamp test, response: passed, once: power-up}
  - {id: crewed, challenge: Oxygen mask test, response: passed, once: crew}
  - {id: always, challenge: Battery, response: "on"}
""")
SECURE = written("""
callout: 1
id: secure
title: Securing
phase: securing
method: challenge-and-response
complete: securing complete
items:
  - {id: battery, challenge: Battery, response: "off"}
""")
BOTH = (PREPARE, SECURE)


def keep(
    folder: Path,
    checklist: Checklist,
    when: datetime,
    *,
    crew: str = "Ada",
    aircraft: str = "One",
    ending: Ending | None = Ending.COMPLETED,
    wrong_after: str = "",
    made: str = "",
) -> None:
    """Keep a journal of ``checklist`` answered right throughout, two seconds an item."""
    plan = plan_for(checklist, flight(), Desk().state.context.tables)
    records: list[JournalRecord] = []

    def add(fact: JournalRecord) -> None:
        at = 2.0 * len(records)
        utc = when.astimezone(UTC) + timedelta(seconds=at)
        records.append(fact.written(len(records) + 1, utc, at))

    add(r.Began("s", plan, {"aircraft": aircraft, "crew": crew, "made": made}))
    for item in plan.items:
        add(r.Challenged(item.id, Why.NEXT))
        add(r.Replied(item.id, typed_utterance("passed"), Verdict.MATCH, "ok", "", "passed"))
        if item.id == wrong_after:
            add(r.Reopened(item.id))
    if ending:
        add(r.Ended(ending, "complete"))
    journal = create_journal(folder, checklist.id, when, f"{when:%H%M}")
    journal.append(records)
    journal.close()


def done(folder: Path, now: datetime = NOW, crew: str = "Ada") -> dict[str, str]:
    return read_past(folder, "One", BOTH, now).done(PREPARE, now, crew)


def test_done_today_is_told_in_the_persons_own_time(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, datetime(2031, 5, 4, 6, 40, tzinfo=ZONE))
    assert done(tmp_path) == dict.fromkeys(("daily", "powered", "crewed"), "done today at 06:40")


def test_the_day_is_the_persons_own_and_not_utc(tmp_path: Path) -> None:
    """At 05:00 in a zone 5 h 30 min ahead, UTC still has the day before."""
    keep(tmp_path, PREPARE, datetime(2031, 5, 3, 23, 50, tzinfo=ZONE))
    found = done(tmp_path, datetime(2031, 5, 4, 5, 0, tzinfo=ZONE))
    assert found == dict.fromkeys(("powered", "crewed"), "done yesterday at 23:50")


def test_securing_the_aircraft_ends_a_power_up_and_a_crews_time(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2))
    keep(tmp_path, SECURE, NOW - timedelta(hours=1))
    assert set(done(tmp_path)) == {"daily"}


def test_a_securing_list_that_was_not_completed_ends_nothing(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2))
    keep(tmp_path, SECURE, NOW - timedelta(hours=1), ending=Ending.STOPPED)
    assert set(done(tmp_path)) == {"daily", "powered", "crewed"}


@pytest.mark.parametrize("crew", ["Bo", ""])
def test_another_crew_or_one_without_a_name_does_its_own(tmp_path: Path, crew: str) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2))
    assert set(done(tmp_path, crew=crew)) == {"daily", "powered"}
    keep(tmp_path, PREPARE, NOW - timedelta(hours=1), crew="")
    assert "crewed" not in done(tmp_path, crew="")


def test_another_aircraft_counts_for_nothing(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2), aircraft="Two")
    assert done(tmp_path) == {}


def test_a_demonstration_does_nothing_and_secures_nothing(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=3), made="demonstration")
    assert done(tmp_path) == {}
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2))
    keep(tmp_path, SECURE, NOW - timedelta(hours=1), made="demonstration")
    assert set(done(tmp_path)) == {"daily", "powered", "crewed"}


def test_an_item_taken_back_is_not_done(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2), wrong_after="daily", ending=None)
    assert set(done(tmp_path)) == {"powered", "crewed"}


def test_nothing_older_than_a_day_counts(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=25))
    assert done(tmp_path) == {}


def test_a_journal_that_cannot_be_read_makes_the_items_due(tmp_path: Path) -> None:
    keep(tmp_path, PREPARE, NOW - timedelta(hours=2))
    (path,) = tmp_path.glob("*.jsonl")
    path.write_bytes(path.read_bytes().replace(b'"seq":2', b'"seq":7'))
    assert done(tmp_path) == {}
    assert NO_PAST.done(PREPARE, NOW) == {}
