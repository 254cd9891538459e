"""Trends of a made-up half year, against independent counts."""

from __future__ import annotations

import json
import random
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

pytest.importorskip("scipy")

from callout.app.reports.changing import changes_of
from callout.app.reports.journals import JournalFacts, read_folder
from callout.app.reports.list_faults import faults_of
from callout.app.reports.standing_out import findings_of, paces_of
from callout.app.reports.trending import trends_of
from callout.bench.persons import PlantedWeakness
from callout.bench.year import KINDS, Year, make_year, score_findings
from callout.core.checklist_run.replay import replay_list
from callout.core.debrief.deviations import Deviation
from callout.core.debrief.facts import ItemFact, ReplyFact
from callout.core.debrief.own_pace import with_own_pace
from callout.core.debrief.rates import Cause, SessionChoice, cause_happened
from callout.core.debrief.trend_words import change_words, finding_words
from callout.core.debrief.trends import LEVEL, TrendKind, Trends
from callout.core.model.verdict import Verdict
from callout.errors import CalloutError
from callout.journal.jsonl_reader import read_journal

NAMES = ("Trainee Ash", "Trainee Oak")


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Year:
    return make_year(tmp_path_factory.mktemp("year"), seed=7, sessions=150, names=NAMES)


@pytest.fixture(scope="module")
def known(year: Year) -> JournalFacts:
    return read_folder(year.folder)


@pytest.fixture(scope="module")
def trends(known: JournalFacts) -> Trends:
    return trends_of(known, SessionChoice())


@pytest.fixture(scope="module")
def base(year: Year) -> Iterator[sqlite3.Connection]:
    """Every line of every journal as JSON text in SQLite: none of our code reads it."""
    made = sqlite3.connect(":memory:")
    made.execute("create table line (session text, j text)")
    for path in year.folder.glob("*.jsonl"):
        made.executemany(
            "insert into line values (?, ?)",
            [(path.stem, line) for line in path.read_text(encoding="utf-8").splitlines()],
        )
    yield made
    made.close()


def test_the_journals_are_real_and_the_same_for_the_same_seed(year: Year, tmp_path: Path) -> None:
    again = make_year(tmp_path, seed=7, sessions=12, names=NAMES)
    for path in again.folder.glob("*.jsonl"):
        assert replay_list(read_journal(path).records).session_id == path.stem
    twin = make_year(tmp_path / "twin", seed=7, sessions=12, names=NAMES)
    files = [{p.name: p.read_bytes() for p in y.folder.glob("*.jsonl")} for y in (again, twin)]
    assert files[0] == files[1]
    assert len(files[0]) == 12


def test_items_met_skipped_and_wrong_are_those_of_sql(
    trends: Trends, base: sqlite3.Connection
) -> None:
    (met,) = base.execute(
        "select count(*) from (select distinct session, j ->> 'item_id' from line"
        " where j ->> 'type' in ('challenged', 'skipped'))"
    ).fetchone()
    (skipped,) = base.execute(
        "select count(*) from (select distinct session, j ->> 'item_id' from line"
        " where j ->> 'type' = 'skipped')"
    ).fetchone()
    (wrong,) = base.execute(
        "select count(*) from (select distinct session, j ->> 'item_id' from line"
        " where j ->> 'verdict' = 'mismatch')"
    ).fetchone()
    assert trends.causes[Cause.WRONG].total == met
    assert trends.causes[Cause.OMITTED].hits == skipped
    assert trends.causes[Cause.WRONG].hits == wrong


def test_rates_by_list_are_those_of_sql(trends: Trends, base: sqlite3.Connection) -> None:
    rows = base.execute(
        "select b.j -> 'plan' ->> 'title', count(distinct l.session || (l.j ->> 'item_id'))"
        " from line l join line b on b.session = l.session and b.j ->> 'type' = 'began'"
        " where l.j ->> 'verdict' = 'mismatch' group by 1"
    ).fetchall()
    found = {line.name: line.causes[Cause.WRONG].hits for line in trends.lists}
    assert {name: hits for name, hits in found.items() if hits} == dict(rows)


def test_median_reply_times_are_those_of_scipy(known: JournalFacts, trends: Trends) -> None:
    from scipy.stats import scoreatpercentile

    taxi = [
        i.heard[0].seconds
        for i in known.facts.items
        if i.phase == "taxi" and i.heard and i.heard[0].seconds
    ]
    (mine,) = [t for t in trends.times if t.name == "Taxi"]
    assert mine.count == len(taxi)
    assert mine.median == pytest.approx(scoreatpercentile(taxi, 50))
    assert mine.quartiles == pytest.approx(scoreatpercentile(taxi, [25, 75]))
    assert mine.low <= mine.median <= mine.high


def test_what_is_found_was_planted(year: Year, trends: Trends) -> None:
    """Twelve runs of each item find the strong weaknesses only, and nearly nothing else."""
    result = score_findings(year.planted, trends.findings)
    assert result.found >= 4
    assert result.placed >= result.found - 1
    strong = {
        p.item_id for p in year.planted if p.weakness is PlantedWeakness.FAST and p.strength > 0.4
    }
    assert strong <= {f.place.item_id for f in trends.findings}
    assert all(f.adjusted <= LEVEL for f in trends.findings)


def test_where_nothing_is_planted_next_to_nothing_is_found(tmp_path: Path) -> None:
    make_year(tmp_path, seed=3, sessions=100, names=NAMES, weak=False)
    assert len(trends_of(read_folder(tmp_path), SessionChoice()).findings) <= 1


def test_every_planted_kind_has_a_kind_of_finding() -> None:
    assert set(KINDS) == set(PlantedWeakness)


def test_few_sessions_show_no_trend_and_it_is_said(known: JournalFacts) -> None:
    sessions = known.facts.sessions[:4]
    ids = {s.session_id for s in sessions}
    items = [i for i in known.facts.items if i.session_id in ids]
    for found in changes_of(sessions, items):
        assert found.words == "Too few sessions to tell: 4; at least 5 are needed."
        assert not found.high


def test_a_choice_narrows_what_counts(known: JournalFacts, trends: Trends) -> None:
    mine = trends_of(known, SessionChoice(person="trainee ash"))
    assert [p.person for p in mine.persons] == ["Trainee Ash"]
    assert mine.sessions == trends.persons[0].sessions
    spring = SessionChoice(
        since=datetime(2031, 3, 1, tzinfo=UTC), until=datetime(2031, 6, 1, tzinfo=UTC)
    )
    assert [line.name for line in trends_of(known, spring).months] == [
        "2031-03",
        "2031-04",
        "2031-05",
    ]
    with pytest.raises(CalloutError, match="No session"):
        trends_of(known, SessionChoice(person="Trainee Elder"))


def test_two_items_are_compared_by_name(known: JournalFacts) -> None:
    names = ("landing/gear", "landing/flaps", "taxi")
    compared = trends_of(known, SessionChoice(), names).compared
    assert {frozenset((c.first, c.second)) for c in compared} == {
        frozenset(pair) for pair in (names[:2], names[1:], (names[0], names[2]))
    }
    assert all(c.p <= c.adjusted <= 1 for c in compared)
    with pytest.raises(CalloutError, match='"wings"'):
        trends_of(known, SessionChoice(), ("landing", "wings"))


def test_all_numbers_of_the_json_are_finite(trends: Trends) -> None:
    from callout.reporting.tables import json_text
    from callout.reporting.trend_page import trends_json

    found = json.loads(json_text(trends_json(trends), "note"))
    assert len(found["findings"]) == len(trends.findings)
    assert sum(
        r["hits"] for r in found["rates"] if r["by"] == "list" and r["cause"] == "omitted"
    ) == (trends.causes[Cause.OMITTED].hits)


def test_lists_as_a_whole_are_counted_where_they_can_be_seen(
    year: Year, trends: Trends, base: sqlite3.Connection
) -> None:
    (ended,) = base.execute(
        "select count(*) from line where j ->> 'type' = 'ended' and j ->> 'ending' = 'completed'"
    ).fetchone()
    incomplete = trends.whole[Deviation.INCOMPLETE]
    assert (incomplete.hits, incomplete.total) == (year.sessions - ended, year.sessions)
    assert trends.completed == ended
    assert trends.whole[Deviation.WRONG_TIME].total == 0, "no flights here"


def test_a_verdict_does_not_depend_on_who_else_is_in_the_folder(
    known: JournalFacts, trends: Trends
) -> None:
    for person in trends.persons:
        [alone] = trends_of(known, SessionChoice(person=person.person)).persons
        assert alone == person


def test_a_change_is_told_with_its_interval_and_what_could_be_shown(trends: Trends) -> None:
    for person in trends.persons:
        for change in person.changes:
            assert change.low < change.times < change.high
            assert change.high > change.low * 1.01
            if change.p > LEVEL:
                assert "would show four times in five" in change_words(change)
        assert "four times in five" in person.power


def test_aircraft_are_kept_apart(known: JournalFacts) -> None:
    """A slip at every run of one item in one of two aircraft is told of that aircraft alone."""
    facts = known.facts
    half = {s.session_id for n, s in enumerate(facts.sessions) if n % 2}
    items = tuple(
        replace(i, aircraft="Other", deviations=i.deviations)
        if i.session_id in half
        else replace(i, deviations=(Deviation.MISMATCHED,) if i.item_id == "doors" else ())
        for i in facts.items
    )
    found = trends_of(replace(known, facts=replace(facts, items=items)), SessionChoice())
    lines = {line.name: line.any for line in found.items if line.name.startswith("Doors (")}
    assert len(lines) == 2
    assert {f.place.aircraft for f in found.findings if f.place.item_id == "doors"} <= {
        facts.items[0].aircraft
    }


def test_an_item_that_fails_everybody_is_a_fault_of_the_list(known: JournalFacts) -> None:
    chance = random.Random(2)
    people = ("A", "B", "C", "D")
    said = ReplyFact(1.0, "set", "set", Verdict.MISMATCH, "other", "not the reply")

    def made(item: ItemFact, person: str) -> ItemFact:
        wrong = chance.random() < (0.3 if item.item_id == "gear" else 0.02)
        return replace(
            item,
            person=person,
            session_id=f"{person}{item.session_id}",
            deviations=(Deviation.MISMATCHED,) if wrong else (),
            heard=(said,) if wrong else (),
        )

    items = [made(i, person) for person in people for i in known.facts.items]
    [fault] = faults_of(items)
    assert (fault.place.item_id, fault.persons) == ("gear", 4)
    assert fault.of_them >= 3
    assert 'Proposed wording: "' in fault.proposal
    assert faults_of([i for i in items if i.person in people[:2]]) == ()


def test_said_and_not_set_again_and_again_is_told_of_its_item(known: JournalFacts) -> None:
    chance = random.Random(3)

    def made(item: ItemFact) -> ItemFact:
        share = 0.4 if item.item_id == "gear" else 0.01
        said = chance.random() < share
        kinds = (Deviation.NOT_SET,) if said else ()
        return replace(item, person="A", shown="set", not_set=int(said), deviations=kinds)

    items = [made(i) for i in known.facts.items]
    found = [f for f in findings_of("A", items, paces_of([])) if f.kind is TrendKind.NOT_SET]
    assert {f.place.item_id for f in found} == {"gear"}
    hits = sum(i.not_set for i in items if i.item_id == "gear" and i.met)
    assert sum(f.rate.hits for f in found) == hits
    assert ": habitually said, not set, " in finding_words(found[0])
    unseen = [replace(i, not_set=0, deviations=(), shown="") for i in items]
    assert findings_of("A", unseen, paces_of([])) == ()


def test_too_fast_is_against_the_own_pace_and_no_deviation(known: JournalFacts) -> None:
    spoken = [i for i in known.facts.items if i.right_seconds]
    marked = with_own_pace(known.facts.items)
    fast = [i for i in marked if Deviation.TOO_FAST in i.deviations]
    assert 0 < len(fast) < len(spoken) / 4
    slow_people = [
        replace(i, heard=tuple(replace(r, seconds=(r.seconds or 0) * 3) for r in i.heard))
        for i in known.facts.items
    ]
    again = with_own_pace(slow_people)
    assert [i.item_id for i in again if Deviation.TOO_FAST in i.deviations] == [
        i.item_id for i in fast
    ]
    alone = replace(fast[0], deviations=(Deviation.TOO_FAST,))
    assert not cause_happened(alone, Cause.ANY)
    assert cause_happened(alone, Cause.FAST)
    few = with_own_pace(known.facts.items[:10])
    assert not any(Deviation.TOO_FAST in i.deviations for i in few)
