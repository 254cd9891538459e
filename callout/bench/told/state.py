"""``callout bench state``: replies compared with the aircraft's state, and a state port under
load.
"""

from __future__ import annotations

import json
import random
import socket
import sys
import time
import tracemalloc
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal

import click

from callout.app.running.simulated import load_aircraft
from callout.app.shared.checklist_files import FLIGHT_FILE, load_flight
from callout.app.shared.command_tables import default_commands
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.causes import NOT_SET
from callout.core.checklist_run.records import Replied
from callout.core.checklist_run.session import list_step
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import effects as e
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.language.spoken import spoken_forms
from callout.core.model.checklist import Checklist, Method
from callout.core.model.flight import Flight
from callout.core.model.state_quantity import StateQuantity
from callout.core.planning.plan import Plan, PlannedItem
from callout.core.planning.run_plan import plan_for
from callout.core.sentences.commands import benches as sentences
from callout.core.state.board import Board, Move, Shown
from callout.core.state.proving import Standing, found_about
from callout.core.state.stream import Stream, take_line
from callout.state.feed import Feed
from callout.state.listening import StatePort

AIRCRAFT = ("tarnbeck-one", "sandling-two", "halvern-seventy")
ITEMS, DISAGREEMENTS = 200, 50
LEAST_CAUGHT, MOST_FALSE = 49, 2
_WAYS = 40
"""Settings of the controls tried for one that proves an item, or does not."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One item of a shipped list, with a state that proves it and one that does not."""

    item: PlannedItem
    set_right: dict[str, Shown]
    set_wrong: dict[str, Shown]


def trials(lot: random.Random) -> list[Trial]:
    """Return every item of the shipped lists that the state of its aircraft can prove."""
    found_ones = []
    for name in AIRCRAFT:
        folder = shipped_folder(CHECKLISTS) / name
        flight = load_flight(folder / FLIGHT_FILE)
        start = dict(load_aircraft(folder).values)
        for path in yaml_files(folder, 5):
            content = read_any(path).content
            if isinstance(content, Checklist):
                found_ones += list(_of_list(content, flight, start, lot))
    return found_ones


def _of_list(
    checklist: Checklist, flight: Flight, start: dict[str, Shown], lot: random.Random
) -> Iterator[Trial]:
    for item in plan_for(checklist, flight, default_tables()).items:
        if item.proof is None or not item.applicable or not item.accepted_texts or item.missing:
            continue
        ways = [_settings(item, start, lot) for _ in range(_WAYS)]
        shown = [
            (w, found_about(item.proof, Board(w, 0.0), 0.0, item.accepted_texts[0])) for w in ways
        ]
        right = [w for w, seen in shown if seen.standing is Standing.SET]
        wrong = [w for w, seen in shown if seen.standing is Standing.NOT_SET]
        if right and wrong:
            yield Trial(item, right[0], wrong[0])


def _settings(item: PlannedItem, start: dict[str, Shown], lot: random.Random) -> dict[str, Shown]:
    """Return some positions of the controls that a proof looks at, the rest as at the start."""
    assert item.proof is not None
    values = dict(start)
    figures = [figure.number for figure in item.proof.figures.values()] or [Decimal(1013)]
    for name, watched in item.proof.watched.items():
        near: tuple[Shown, ...] = (figures[0], figures[0] + 5, figures[0] - 3)
        places: tuple[Shown, ...] = watched.positions or near
        values[name] = lot.choice(places)
    return values


def answered(trial: Trial, values: dict[str, Shown], aircraft: Stream) -> Replied | None:
    """Return what a session makes of the right reply while the controls are at ``values``."""
    line = {"kind": "snapshot", "run": "a", "seq": 0, "values": _plain(values)}
    stream, _ = take_line(
        aircraft, json.dumps({"kind": "hello", "version": 1, "run": "a"}), "p", 100.0
    )
    stream, _ = take_line(stream, json.dumps(line), "p", 100.0)
    context = Context(default_commands(), default_tables(), Pacing(silence_s=0), watches=True)
    plan = Plan("bench", "Bench", (trial.item,), "done", Method.CHALLENGE_AND_RESPONSE)
    state = SessionState(context)
    answer = trial.item.expectation.accepted[0]
    words = next(iter(spoken_forms(answer, context.tables, 1)), answer.text)
    events = (
        ev.Started(_stamp(1), "s", plan),
        ev.StateReported(_stamp(2), stream.board),
        ev.TypedReply(_stamp(3), trial.item.id, words),
    )
    kept = []
    for event in events:
        state, effects = list_step(state, event)
        kept += [x.record for x in effects if isinstance(x, e.Record)]
    return next((record for record in kept if isinstance(record, Replied)), None)


def _plain(values: dict[str, Shown]) -> dict[str, str | float]:
    return {name: v if isinstance(v, str) else float(v) for name, v in values.items()}


def _stamp(seq: int) -> ev.Stamp:
    return ev.Stamp(seq, 100.0 + seq * 0.01, datetime(2031, 5, 4, tzinfo=UTC))


def disagreements(seed: int) -> tuple[int, int, int, int]:
    """Return caught, seeded, false alarms, and agreements."""
    lot = random.Random(seed)
    known = trials(lot)
    picked = lot.sample(known, min(ITEMS, len(known)))
    seeded = set(lot.sample(range(len(picked)), DISAGREEMENTS))
    declared: dict[str, StateQuantity] = {}
    for name in AIRCRAFT:
        declared |= load_flight(shipped_folder(CHECKLISTS) / name / FLIGHT_FILE).state
    caught = false = 0
    for n, trial in enumerate(picked):
        own = {k: _as_watched(trial, k, q) for k, q in declared.items()}
        stream = Stream(own)
        replied = answered(trial, trial.set_wrong if n in seeded else trial.set_right, stream)
        refused = replied is not None and replied.code == NOT_SET
        caught += refused and n in seeded
        false += n not in seeded and (replied is None or replied.standing is not Standing.SET)
    return caught, DISAGREEMENTS, false, len(picked) - DISAGREEMENTS


def _as_watched(trial: Trial, name: str, declared: StateQuantity) -> StateQuantity:
    """Return a declaration as the aircraft of the item has it: names are shared between them."""
    watched = trial.item.proof.watched.get(name) if trial.item.proof else None
    if watched is None:
        return declared
    return StateQuantity(name, watched.positions, watched.unit, watched.label)


class Timed:
    """A sink that notes how long each change was on the way."""

    def __init__(self) -> None:
        self.sent: dict[int, float] = {}
        self.delays: list[float] = []
        self.moves = 0
        self.last = -1

    def on_state(self, board: Board, moves: tuple[Move, ...]) -> None:
        """Take what has moved."""
        now = time.monotonic()
        self.moves += len(moves)
        for move in moves:
            value = int(move.now) if not isinstance(move.now, str) else -1
            if value in self.sent:
                self.delays.append(now - self.sent[value])
            self.last = value

    def on_state_lost(self, message: str, hint: str = "") -> None:
        """Nothing is measured."""

    def on_state_back(self) -> None:
        """Nothing is measured."""


def strain(seconds: int, rate: int) -> tuple[int, int, list[float], int]:
    """Send over TCP; return messages sent, moves seen, delays in seconds, and growth in bytes."""
    declared = {"count": StateQuantity("count", positions=())}
    port, sink = StatePort(Feed(declared, time.monotonic), port=0), Timed()
    port.open()
    port.start(sink)
    total = seconds * rate
    tracemalloc.start()
    with socket.create_connection(("127.0.0.1", port.port)) as bridge:
        _put(bridge, {"kind": "hello", "version": 1, "run": "a"})
        began, early = time.monotonic(), 0
        for n in range(total):
            kind = "snapshot" if n % rate == 0 else "change"
            sink.sent[n] = time.monotonic()
            _put(bridge, {"kind": kind, "run": "a", "seq": n, "values": {"count": n}})
            sink.sent.pop(n - 10 * rate, None)
            if n == total // 4:
                early = tracemalloc.get_traced_memory()[0]
            time.sleep(max(0.0, began + (n + 1) / rate - time.monotonic()))
        end = time.monotonic() + 5.0
        while sink.last < total - 1 and time.monotonic() < end:
            time.sleep(0.02)
        grown = tracemalloc.get_traced_memory()[0] - early - 40 * len(sink.delays)
    tracemalloc.stop()
    port.close()
    return total, sink.moves + 1, sink.delays, grown


def _put(bridge: socket.socket, message: dict[str, object]) -> None:
    bridge.sendall(json.dumps(message).encode() + b"\n")


@click.command("state", short_help=sentences.BENCH_STATE)
@click.option("--seed", default=1, show_default=True)
@click.option("--seconds", default=60, show_default=True, help=sentences.STATE_SECONDS)
@click.option("--rate", default=100, show_default=True, help=sentences.STATE_RATE)
@click.option("--hostile", default=10_000, show_default=True, help=sentences.STATE_HOSTILE)
def command(seed: int, seconds: int, rate: int, hostile: int) -> None:
    """Seed disagreements between replies and state, load the port, and lie to its reader.

    The exit code is 1 if fewer than 49 of 50 disagreements in 200 items are caught, more than 2
    agreements are refused, anything is lost on the way, or the reader believes something untrue.
    """
    from callout.bench.told.hostile import believed

    caught, seeded, false, agreed = disagreements(seed)
    click.echo(f"disagreements caught {caught} of {seeded}, false alarms {false} of {agreed}")
    untrue, known, lines = believed(seed, hostile)
    click.echo(f"hostile stream: {lines} lines, {known} readings known, {untrue} of them untrue")
    sent, seen, delays, grown = strain(seconds, rate)
    ordered = sorted(delays)
    middle, late = ordered[len(ordered) // 2], ordered[int(len(ordered) * 0.99)]
    click.echo(f"{rate} updates a second for {seconds} s: sent {sent}, seen {seen}")
    click.echo(f"sent to reported: median {middle * 1000:.1f} ms, 99 % {late * 1000:.1f} ms")
    click.echo(f"memory grown after the first quarter: {grown / 1024:.0f} KiB")
    fine = caught >= LEAST_CAUGHT and false <= MOST_FALSE and not untrue and sent == seen
    sys.exit(0 if fine else 1)
