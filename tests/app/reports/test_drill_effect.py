"""Trends of one person say what drills did, those of several who changed and where to look."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

pytest.importorskip("scipy")

from callout.app.reports.drill_effect import with_drills
from callout.app.reports.journals import read_folder
from callout.app.reports.trending import trends_of
from callout.bench.year import make_year
from callout.core.debrief.rates import SessionChoice
from callout.core.debrief.trend_words import lead_lines, who_changed
from callout.core.debrief.trends import TrendChange, Trends
from callout.core.drill.records import DrillBegan
from callout.journal.jsonl_writer import line_of
from callout.reporting.trend_page import trends_json, trends_markdown, trends_page
from callout.terminal.trends import trend_lines
from tests.core.drill.drill_kit import Drill, exercises

ASH, OAK = "Trainee Ash", "Trainee Oak"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A few sessions of two people, and two drills of one of them."""
    made = tmp_path_factory.mktemp("year")
    make_year(made, seed=7, sessions=40, names=(ASH, OAK))
    (made / "drills").mkdir()
    for number, said in enumerate(("not known", exercises(None)[0].answer)):
        drill = Drill(exercises(None)).say(said).say("stop")
        began = drill.records[0]
        assert isinstance(began, DrillBegan)
        name = f"2031060{number + 1}T100000Z-drill-00000{number}"
        first = replace(began, drill_id=name, about={"crew": ASH})
        moved = [
            replace(r, utc=r.utc + timedelta(days=number)) for r in (first, *drill.records[1:])
        ]
        (made / "drills" / f"{name}.jsonl").write_bytes(b"".join(map(line_of, moved)))
    return made


def trends(folder: Path, person: str | None) -> Trends:
    return with_drills(trends_of(read_folder(folder), SessionChoice(person)), folder)


def test_one_person_reads_what_drills_did(folder: Path) -> None:
    found = trends(folder, ASH)
    assert found.drills[0] == "Right first time in the last 2 drills: 0 %, 100 %."
    assert "<h2>What drills did</h2>" in trends_page(found, "Study only.")
    assert "## What drills did" in trends_markdown(found, "Study only.")
    assert "What drills did" in list(trend_lines(found, "Study only."))
    assert trends_json(found)["drills"] == found.drills


def test_nobody_reads_of_drills_of_another(folder: Path) -> None:
    assert trends(folder, OAK).drills == ()
    assert trends(folder, None).drills == ()
    assert "What drills did" not in trends_page(trends(folder, OAK), "Study only.")


def change(low: float, high: float, p: float) -> tuple[TrendChange, ...]:
    day = datetime(2031, 1, 1, tzinfo=UTC)
    return (TrendChange("Items with a deviation", 30, day, day, p, low=low, high=high),)


def test_who_changed_is_said_of_those_shown_to_change_alone() -> None:
    people = {
        "Ada": change(1.4, 9, 0.01),
        "Ben": change(0.1, 0.8, 0.02),
        "Eve": change(0.5, 4, 0.4),
    }
    assert who_changed(people) == (
        "Gets worse: Ada. Gets better: Ben. Of 3 people, no other change shown."
    )
    assert who_changed({"Eve": people["Eve"], "Ivo": ()}) == (
        "Of 2 people, nobody is shown to get better or worse."
    )


def test_whoever_looks_at_several_people_reads_first_where_to_look(folder: Path) -> None:
    found = trends(folder, None)
    first, *rest = lead_lines(found)
    assert first.endswith((" shown.", "get better or worse."))
    assert len(rest) == (1 if found.findings else 0)
    if found.findings:
        worst = found.findings[0]
        assert rest[0].startswith(f"Look first at {worst.person}: {worst.challenge} in ")
    assert first in trends_page(found, "Study only.")


def test_a_sign_never_stands_on_a_line_without_its_number(folder: Path) -> None:
    page = trends_page(trends(folder, None), "Study only.")
    assert "\N{NO-BREAK SPACE}%" in page
    assert " %" not in page
