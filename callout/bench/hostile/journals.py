"""Damaged journals: half with their chain of checksums broken, half sealed again."""

from __future__ import annotations

import json
import random
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from callout.app.reports.debriefing import report_on
from callout.app.running.machines import LIST
from callout.app.running.unfinished import unfinished_journal
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.hostile.damage import NASTY, damaged_bytes
from callout.bench.year import make_year
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import events as ev
from callout.core.flight_run.records import SectorBegan
from callout.errors import CalloutError
from callout.journal.misfits import making_sense
from callout.journal.repair import repair_journal
from callout.journal.repairing import sort_lines
from callout.journal.seals import START, seal_line
from callout.journal.summary import info_of
from callout.terminal.debriefing import debrief_lines
from callout.terminal.report import report_lines

_VALUES: Final[tuple[Any, ...]] = (
    None, True, False, 0, -1, 1, 2**63, -(10**30), 1e308, -0.0, "", " ", "\ud800", "\u202e", [],
    {}, [[]], {"": None}, "9999-12-31T23:59:59+00:00", "0001-01-01T00:00:00Z", "x" * 70_000,
    [0] * 5_000, *NASTY[:20],
)  # fmt: skip


_WHEN: Final = datetime(2031, 1, 1, tzinfo=UTC)


class Journals:
    """Journals of every kind and version, damaged; read, summed up, debriefed, repaired."""

    suffix = ".jsonl"

    def __init__(self, seeds: Path, where: Path) -> None:
        self._where = where
        made = where / "year"
        if not made.exists():
            make_year(made, sessions=6)
        paths = (*sorted(made.glob("*.jsonl")), *sorted(seeds.glob("*.jsonl")))
        self._whole = [path.read_bytes() for path in paths]
        self._context = Context(default_commands(), default_tables())
        for data in self._whole:
            self.take(data)

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged journal."""
        data = rng.choice(self._whole)
        if rng.random() < 0.3:
            return damaged_bytes(rng, data)
        bodies = [_body(line) for line in data.splitlines()]
        for _ in range(rng.choice((1, 1, 2, 4))):
            _change(rng, bodies)
        return _sealed(bodies) if rng.random() < 0.8 else _plain(bodies)

    def take(self, data: bytes) -> str:
        """Do with it what journal, debrief, resume and repair do."""
        for old in self._where.glob("fuzz*"):
            old.unlink()
        path = self._where / "fuzz.jsonl"
        path.write_bytes(data)
        try:
            self._read(path)
        except CalloutError:
            return self._repaired(path)
        return "taken"

    def _read(self, path: Path) -> None:
        list(report_lines(info_of(path).summary))
        for way in (self._debriefed, self._gone_on_with):
            with suppress(CalloutError):
                way(path)

    def _debriefed(self, path: Path) -> None:
        list(debrief_lines(report_on(str(path), path.parent), ""))

    def _gone_on_with(self, path: Path) -> None:
        records = unfinished_journal(path).records
        if isinstance(records[0], SectorBegan):
            return
        with making_sense(path):
            state = SessionState(self._context, replay_list(records))
        for number, text in enumerate(("", "on", "hold", "continue", "stop", "yes")):
            stamp = ev.Stamp(number, state.progress.at + number, _WHEN)
            reply = ev.TypedReply(stamp, LIST.target(state), text)
            state, _ = LIST.step(state, reply if text else ev.ResumeAsked(stamp))

    def _repaired(self, path: Path) -> str:
        try:
            repair_journal(path)
        except CalloutError:
            return "refused"
        sort_lines(path)
        info_of(path)
        return "repaired"


def _body(line: bytes) -> Any:
    fields = json.loads(line)
    return {k: v for k, v in fields.items() if k not in ("prev", "sum")}


def _change(rng: random.Random, bodies: list[Any]) -> None:
    """Change the records: their order, or a value inside one."""
    if not bodies:
        return
    one, other = rng.randrange(len(bodies)), rng.randrange(len(bodies))
    match rng.randrange(8):
        case 0:
            bodies[one], bodies[other] = bodies[other], bodies[one]
        case 1:
            bodies.insert(one, bodies[other])
        case 2:
            del bodies[one]
        case _:
            bodies[one] = _changed(rng, bodies[one], bodies[other])
    if rng.random() < 0.7:
        for number, body in enumerate(bodies, start=1):
            if isinstance(body, dict) and "seq" in body:
                body["seq"] = number


def _changed(rng: random.Random, value: Any, other: Any) -> Any:
    """Return ``value`` with one part of it gone, of another kind, or taken from elsewhere."""
    if isinstance(value, dict) and value and rng.random() < 0.93:
        key = rng.choice(list(value))
        if rng.random() < 0.1:
            return {k: v for k, v in value.items() if k != key}
        twin = other.get(key) if isinstance(other, dict) else None
        return {**value, key: _changed(rng, value[key], twin)}
    if isinstance(value, list) and value and rng.random() < 0.8:
        at = rng.randrange(len(value))
        return [*value[:at], _changed(rng, value[at], other), *value[at + 1 :]]
    return other if other is not None and rng.random() < 0.3 else rng.choice(_VALUES)


def _plain(bodies: list[Any]) -> bytes:
    return b"".join(json.dumps(body).encode() + b"\n" for body in bodies)


def _sealed(bodies: list[Any]) -> bytes:
    lines, last = [], START
    for body in bodies:
        data = json.dumps(body, separators=(",", ":")).encode()
        if not isinstance(body, dict) or not body:
            lines.append(data + b"\n")
            continue
        line, last = seal_line(data, last)
        lines.append(line)
    return b"".join(lines)
