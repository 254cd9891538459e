"""A stream that loses, repeats, reorders and garbles: what is known stays true."""

from __future__ import annotations

import json
import random
from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.core.model.state_quantity import StateQuantity
from callout.core.state.messages import LONGEST, SEQUENCE, Fault, wire_schema
from callout.core.state.stream import QUIET_S, SKEW_S, Stream, take_line, without_peer

DECLARED = {
    "beacon": StateQuantity("beacon"),
    "flap": StateQuantity("flap", positions=("up", "10", "20")),
    "fuel": StateQuantity("fuel", positions=(), unit="L"),
}


def hello(run: str = "a", **more: Any) -> dict[str, Any]:
    return {"kind": "hello", "version": 1, "run": run, **more}


def snapshot(seq: int, run: str = "a", **values: Any) -> dict[str, Any]:
    return {"kind": "snapshot", "run": run, "seq": seq, "values": values}


def change(seq: int, run: str = "a", **values: Any) -> dict[str, Any]:
    return {"kind": "change", "run": run, "seq": seq, "values": values}


def fed(*messages: dict[str, Any] | str, peer: str = "p", stream: Stream | None = None) -> Stream:
    made = stream or Stream(DECLARED)
    for n, message in enumerate(messages):
        line = message if isinstance(message, str) else json.dumps(message)
        made, _ = take_line(made, line, peer, 100.0 + n * 0.01)
    return made


def test_a_snapshot_and_changes_give_what_is_set() -> None:
    made = fed(hello(), snapshot(0, beacon="off", flap=10, fuel=41.5), change(1, beacon=True))
    assert made.board.values == {"beacon": "on", "flap": "10", "fuel": Decimal("41.5")}
    assert not made.counts


def test_what_a_later_message_may_have_changed_is_not_known() -> None:
    made = fed(hello(), snapshot(0, beacon="off", flap="up"), change(2, flap="10"))
    assert made.board.values == {"flap": "10"}, "message 1 is missing: the beacon may be on"
    filled = fed(change(1, beacon="on"), stream=made)
    assert filled.board.values == {"flap": "10", "beacon": "on"}
    assert fed(snapshot(3, beacon="off"), stream=made).board.values == {"beacon": "off"}


def test_late_and_repeated_messages_change_nothing() -> None:
    made = fed(hello(), snapshot(0, beacon="off"), change(1, beacon="on"), change(1, beacon="off"))
    assert made.board.values == {"beacon": "on"}
    assert made.counts == {Fault.DUPLICATE: 1}
    assert fed(change(0, beacon="off"), stream=made).board == made.board


def test_the_sequence_begins_again_at_zero() -> None:
    near = SEQUENCE - 1
    made = fed(hello(), snapshot(near, beacon="off"), change(0, beacon="on"), change(1))
    assert made.board.values == {"beacon": "on"}
    assert not made.missing


def test_a_bridge_that_starts_anew_is_known_for_nothing_until_it_has_told_all() -> None:
    made = fed(hello(), snapshot(0, beacon="on"), hello("b"))
    assert made.board.values == {}
    assert fed(change(1, "b", beacon="on"), stream=made).board.values == {}
    again = fed(snapshot(0, "b", beacon="off"), change(1, "a", beacon="on"), stream=made)
    assert again.board.values == {"beacon": "off"}
    assert again.counts[Fault.ENDED] == 1


def test_a_sequence_that_begins_anew_in_the_same_run_is_late() -> None:
    made = fed(hello(), snapshot(500, beacon="on"), change(501), snapshot(0, beacon="off"))
    assert made.board.values == {"beacon": "on"}


def test_a_second_bridge_waits_until_the_first_is_silent() -> None:
    made = fed(hello(), snapshot(0, beacon="on"))
    other = fed(hello("z"), snapshot(0, "z", beacon="off"), peer="q", stream=made)
    assert other.board.values == {"beacon": "on"}
    assert other.counts == {Fault.STRANGER: 2}
    line = json.dumps(snapshot(0, "z", beacon="off"))
    later, _ = take_line(made, line, "q", 100.0 + QUIET_S + 1)
    assert later.board.values == {"beacon": "off"}


def test_a_closed_connection_leaves_nothing_known() -> None:
    made = fed(hello(), snapshot(0, beacon="on"))
    assert without_peer(made, "another").board == made.board
    assert without_peer(made, "p").board.values == {}


def test_a_clock_that_is_off_or_jumps_ages_nothing_for_long() -> None:
    stream, _ = take_line(Stream(DECLARED), json.dumps(hello()), "p", 0.0)
    for second in range(120):
        skew = 1e6 if second < 40 else -3_600.0
        message = {**snapshot(second, beacon="on"), "time": second * 1.01 + skew}
        stream, _ = take_line(stream, json.dumps(message), "p", float(second))
        settled = second < 40 or second > 40 + 2 * SKEW_S
        age = second - (stream.board.as_of or 0.0)
        assert age < 0.5 or not settled
        assert age >= 0.0


def test_an_age_that_is_told_counts() -> None:
    made = fed(hello(), {**snapshot(0, beacon="on"), "age": 7.5})
    assert made.board.age(100.01) == pytest.approx(7.5)


HOSTILE = [
    "", "null", "[]", "{}", "{", "\x00", "GET / HTTP/1.1", "[" * 5_000, '{"kind":"hello"}',
    '{"kind":"hello","version":2,"run":"a"}', '{"kind":"hello","version":true,"run":"a"}',
    '{"kind":"snapshot","run":"a","seq":-1,"values":{}}',
    '{"kind":"snapshot","run":"a","seq":1.5,"values":{}}',
    '{"kind":"snapshot","run":"a","seq":1e999,"values":{}}',
    '{"kind":"snapshot","run":"a","seq":1,"values":[]}',
    '{"kind":"change","run":"","seq":1,"values":{}}',
    '{"kind":"change","run":"a","seq":1,"values":{},"age":-1}',
    '{"kind":"change","run":"a","seq":1,"values":{},"time":NaN}',
    '{"kind":"change","run":"a","seq":1,"values":{"beacon":"on","beacon":"off"}}',
    '{"kind":"change","run":"a","seq":1,"values":{},"run":"b"}',
    '{"kind":"change","run":"a","seq":' + "9" * 5_000 + ',"values":{}}',
    '{"kind":"change","run":"a","seq":1,"values":{},"exec":"rm"}', "x" * (LONGEST + 1), "\ud800",
]  # fmt: skip


@pytest.mark.parametrize("line", HOSTILE)
def test_a_hostile_line_is_counted_and_sets_nothing(line: str) -> None:
    made = fed(hello(), snapshot(0, beacon="on"))
    after = fed(line, stream=made)
    assert sum(after.counts.values()) == 1
    assert after.board.values == {}, "its own bridge talks rubbish: nothing is sure"
    assert fed(line, stream=made, peer="other").board.values == {"beacon": "on"}
    assert fed(snapshot(1, beacon="on"), stream=after).board.values == {"beacon": "on"}


@pytest.mark.parametrize("value", ["ON", "", 1, 0.0, None, [], {"a": 1}, "x" * 999])
def test_a_value_that_does_not_fit_is_no_value(value: object) -> None:
    made = fed(hello(), snapshot(0, beacon="on"), change(1, beacon=value))
    assert "beacon" not in made.board.values
    assert made.counts == {Fault.UNFIT_VALUE: 1}


def test_a_name_that_is_not_declared_is_left_out() -> None:
    made = fed(hello(), snapshot(0, beacon="on", rudder=5))
    assert made.board.values == {"beacon": "on"}
    assert made.counts == {Fault.UNKNOWN_NAME: 1}


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.floats(0, 0.6), st.integers(1, 8))
def test_whatever_is_lost_and_reordered_nothing_untrue_is_known(
    seed: int, lost: float, spread: int
) -> None:
    """The reader against the truth: what it knows is so at its newest message, in any order."""
    lot = random.Random(seed)
    first = lot.choice([0, SEQUENCE - 20])
    truth: dict[int, dict[str, str]] = {}
    state = {"beacon": "off", "flap": "up"}
    sent = []
    for n in range(60):
        name = lot.choice(["beacon", "flap"])
        state = {**state, name: lot.choice(DECLARED[name].positions)}
        truth[n] = state
        seq = (first + n) % SEQUENCE
        whole = n == 0 or lot.random() < 0.1
        values = state if whole else {name: state[name]}
        sent.append((n, snapshot(seq, **values) if whole else change(seq, **values)))
    kept = [sent[0], *(m for m in sent[1:] if lot.random() >= lost)]
    order = sorted(kept, key=lambda m: m[0] and m[0] + lot.uniform(0, spread))
    made, newest = fed(hello()), 0
    for n, message in order:
        made, newest = fed(message, stream=made), max(newest, n)
        known = made.board.values
        assert known == {name: truth[newest][name] for name in known}


def test_the_published_shape_takes_what_the_reader_takes() -> None:
    check = jsonschema.Draft202012Validator(wire_schema())
    for message in (hello(name="x", token="y"), snapshot(0, beacon=True), change(1)):
        check.validate(message)
        assert not fed(hello(), snapshot(0), message).counts.keys() & {Fault.SHAPE}
    for line in HOSTILE[7:13]:
        try:
            told = json.loads(line, parse_constant=lambda text: None)
        except (ValueError, RecursionError):
            continue
        assert not check.is_valid(told), line
