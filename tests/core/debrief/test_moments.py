"""A slip is shown step by step: asked, heard, judged, by whom and when."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.reports.debriefing import report_on
from callout.bench.year import make_year
from callout.core.debrief.moments import moments_of
from callout.journal.jsonl_reader import read_journal
from callout.reporting.page import debrief_page, moment_anchors


@pytest.fixture(scope="module")
def journals(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("moments")
    make_year(folder, seed=3, sessions=24, names=("Ada", "Ben"))
    return sorted(folder.glob("*.jsonl"))


def test_every_item_that_went_wrong_has_its_moment_and_no_other(journals: list[Path]) -> None:
    """Against the records themselves, read as JSON: wrong, unclear, skipped, before its turn."""
    import json

    shown = 0
    for path in journals:
        records = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
        slips = {
            r["item_id"]
            for r in records
            if (r["type"] == "replied" and r["verdict"] != "match")
            or r["type"] == "skipped"
            or (r["type"] == "challenged" and r.get("passed_over"))
        }
        moments = moments_of(read_journal(path).records)
        assert {m.item_id for m in moments} == slips
        shown += len(moments)
        for moment in moments:
            own = [r for r in records if r.get("item_id") == moment.item_id]
            told = " ".join(step.what for step in moment.steps)
            for record in own:
                if record["type"] == "replied":
                    assert record["utterance"].get("transcript", "") in told
                    assert record["reason"] in told
            times = [step.at for step in moment.steps]
            assert times == sorted(times)
            assert moment.steps[0].who == "callout"
            assert moment.steps[0].what.startswith("asked: ")
    assert shown > 10


def test_the_page_leads_from_each_slip_to_its_moment_without_a_script(journals: list[Path]) -> None:
    found = [p for p in journals if moments_of(read_journal(p).records)][-1]
    report = report_on(str(found), found.parent)
    page = debrief_page(report, "note")
    anchors = moment_anchors(report.debriefs[0], 0)
    assert anchors
    for anchor in anchors.values():
        assert f'<section class="moment" id="{anchor}"' in page
        assert f'href="#{anchor}"' in page
    assert "<script" not in page
