"""Journals as earlier versions wrote them still read, and lead to what those versions made of them.

Each was left by the commands of its time; the ``.json`` beside it is the state that the replay of
that time worked out from it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields
from enum import Enum
from pathlib import Path
from typing import Any

import pytest

from callout.core.checklist_run.replay import replay_list
from callout.core.conversation.records import JournalRecord
from callout.core.drill.state import replay_drill
from callout.core.flight_run.replay import replay_sector
from callout.core.keeping.record_codec import from_plain, to_plain
from callout.journal.jsonl_reader import read_journal

FOLDER = Path(__file__).parents[2] / "data" / "journals"
JOURNALS = sorted(FOLDER.glob("*.jsonl"))
REPLAYS: dict[str, Callable[[tuple[JournalRecord, ...]], Any]] = {
    "flight": replay_sector,
    "drill": replay_drill,
}


def _known(value: Any) -> dict[str, Any]:
    found = {f.name: getattr(value, f.name) for f in fields(value)}
    return {name: v.value if isinstance(v, Enum) else v for name, v in found.items()}


@pytest.mark.parametrize("path", JOURNALS, ids=lambda path: path.stem)
def test_it_leads_to_the_state_it_led_to_then(path: Path) -> None:
    records = read_journal(path).records
    progress = REPLAYS.get(path.stem.split("-")[-1], replay_list)(records)
    then = json.loads(path.with_suffix(".json").read_text())
    assert {**_known(progress), **then.pop("progress")} == _known(progress)
    for group, entries in then.items():
        now = [_known(entry) for entry in getattr(progress, group)]
        assert len(now) == len(entries)
        assert [{**found, **entry} for found, entry in zip(now, entries, strict=True)] == now


@pytest.mark.parametrize("path", JOURNALS, ids=lambda path: path.stem)
def test_its_records_are_written_as_they_are_read(path: Path) -> None:
    for record in read_journal(path).records:
        assert from_plain(json.loads(json.dumps(to_plain(record)))) == record


def test_every_former_kind_of_journal_is_there() -> None:
    kinds = {path.stem.split("-")[-1] for path in JOURNALS}
    assert {"flight", "drill", "mistakes", "stopped", "off"} <= kinds
    types = {json.loads(line)["type"] for p in JOURNALS for line in p.read_text().splitlines()}
    assert {"drill-suspended", "suspended", "resumed", "sector-began"} <= types
