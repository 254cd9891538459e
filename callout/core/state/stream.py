"""A state stream, message by message: pure, and doubtful wherever something may be missing.

A reading counts as long as no later message is missing: whatever has not been reported again has
not changed. Late messages fill their gaps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from callout.core.model.state_quantity import ON_OFF, StateQuantity
from callout.core.state.board import NOTHING, Board, Move, Reading
from callout.core.state.messages import (
    LARGEST,
    SEQUENCE,
    Fault,
    Kind,
    Message,
    Refused,
    message_in,
)

QUIET_S = 3.0
"""A second bridge is accepted only after this many seconds of silence from the first."""
WINDOW = 1_024
"""Maximum number of missing messages to wait for; a longer gap needs a snapshot."""
RUNS = 32
"""Ended runs that are remembered, so that their messages no longer count."""
SKEW_S = 15.0
"""How long the shortest delay of a message is remembered as the reference for the others."""


@dataclass(frozen=True, slots=True)
class Delays:
    """The shortest recent difference between the two clocks; anything above it is transmission
    delay.

    A clock that jumps or drifts is followed within two spans.
    """

    since: float = 0.0
    """Our clock, in seconds, when this span began."""
    now: float | None = None
    """Shortest difference in this span, in seconds; None before the first message."""
    before: float | None = None
    """Shortest difference in the previous span."""

    def after(self, difference: float, at: float) -> Delays:
        """Return the delays after one more message, received ``at``."""
        if self.now is None or at - self.since >= SKEW_S:
            return Delays(at, difference, self.now)
        return replace(self, now=min(self.now, difference))

    def under_way(self, difference: float) -> float:
        """Return the transmission delay, in seconds, of a message with this difference."""
        known = [shortest for shortest in (self.now, self.before) if shortest is not None]
        return max(0.0, difference - min(known)) if known else 0.0


@dataclass(frozen=True, slots=True)
class Stream:
    """Everything that a stream has reported so far."""

    declared: Mapping[str, StateQuantity]
    peer: str = ""
    """Address of its bridge."""
    run: str = ""
    ended: tuple[str, ...] = ()
    name: str = ""
    last: int | None = None
    """Number of the newest message, continued where the sequence returns to 0."""
    missing: frozenset[int] = frozenset()
    """Numbers of messages that never arrived."""
    floor: int = 0
    """Readings older than this message are in doubt."""
    readings: Mapping[str, Reading] = field(default_factory=dict)
    heard_at: float | None = None
    """When the last message of this bridge arrived."""
    as_of: float | None = None
    """The time for which the readings hold."""
    delays: Delays = Delays()
    taken: int = 0
    """Messages accepted."""
    counts: Mapping[Fault, int] = field(default_factory=dict)
    """Lines rejected, by reason."""

    @property
    def board(self) -> Board:
        """What is known now, without doubtful readings."""
        if self.as_of is None:
            return NOTHING
        newest = max(self.missing, default=-1)
        sound = max(self.floor, newest + 1)
        values = {name: r.value for name, r in self.readings.items() if r.seq >= sound}
        return Board(values, self.as_of)


Taken = tuple[Stream, tuple[Move, ...]]


def take_line(stream: Stream, line: str, peer: str, at: float) -> Taken:
    """Return the stream after one line from ``peer``, and the moves that it shows.

    at: seconds on the receiver's clock. Anything wrong with the line is only counted.
    """
    try:
        message = message_in(line)
    except Refused as refused:
        return with_rejected(_doubted(stream, peer), refused.fault), ()
    if stream.run and peer != stream.peer and not is_silent(stream, at):
        return with_rejected(stream, Fault.STRANGER), ()
    if message.run in stream.ended:
        return with_rejected(stream, Fault.ENDED), ()
    if message.run != stream.run or peer != stream.peer:
        if message.kind is Kind.CHANGE:
            return with_rejected(stream, Fault.EARLY), ()
        stream = _begun(stream, message, peer)
    stream = replace(stream, heard_at=at, name=message.name or stream.name)
    if message.kind is Kind.HELLO:
        return replace(stream, taken=stream.taken + 1), ()
    return _updated(stream, message, at)


def is_silent(stream: Stream, at: float) -> bool:
    """Say whether the bridge has been silent long enough to accept another one."""
    return stream.heard_at is None or at - stream.heard_at >= QUIET_S


def without_peer(stream: Stream, peer: str) -> Stream:
    """Return the stream after the connection of ``peer`` closed: nothing is known any more."""
    return _over(stream) if stream.run and peer == stream.peer else stream


def with_rejected(stream: Stream, fault: Fault) -> Stream:
    """Return the stream with one more rejected message."""
    return replace(stream, counts={**stream.counts, fault: stream.counts.get(fault, 0) + 1})


def _doubted(stream: Stream, peer: str) -> Stream:
    """Return the stream after an unreadable line from its own bridge."""
    if stream.last is None or peer != stream.peer:
        return stream
    return replace(stream, floor=stream.last + 1)


def _over(stream: Stream) -> Stream:
    ended = (*stream.ended, stream.run)[-RUNS:] if stream.run else stream.ended
    return Stream(stream.declared, ended=ended, taken=stream.taken, counts=stream.counts)


def _begun(stream: Stream, message: Message, peer: str) -> Stream:
    again = message.run == stream.run  # the same run, come back by another way
    fresh = _over(replace(stream, run="") if again else stream)
    return replace(fresh, peer=peer, run=message.run)


def _updated(stream: Stream, message: Message, at: float) -> Taken:
    seq = _counted_on(message.seq, stream.last)
    if stream.last is None:
        if message.kind is Kind.CHANGE:
            return with_rejected(stream, Fault.EARLY), ()
        stream = replace(stream, last=seq, floor=seq)
    elif seq <= stream.last and seq not in stream.missing:
        fault = Fault.DUPLICATE if seq > stream.last - WINDOW else Fault.LATE
        return with_rejected(stream, fault), ()
    newest = seq >= (stream.last or 0)
    stream = _numbered(stream, seq, whole=message.kind is Kind.SNAPSHOT)
    if newest:
        stream = _dated(stream, message, at)
    stream, moves = _read(stream, message, seq, at)
    if message.kind is Kind.SNAPSHOT and newest:
        kept = {name: r for name, r in stream.readings.items() if r.seq >= seq}
        stream = replace(stream, readings=kept)
    return replace(stream, taken=stream.taken + 1), moves


def _counted_on(seq: int, last: int | None) -> int:
    """Return a 32-bit number as one that continues from ``last`` (RFC 1982)."""
    if last is None:
        return seq
    ahead = (seq - last) % SEQUENCE
    return last + ahead if ahead < SEQUENCE // 2 else last + ahead - SEQUENCE


def _numbered(stream: Stream, seq: int, *, whole: bool) -> Stream:
    """Return the stream with a message ticked off, and missing earlier ones noted."""
    last = stream.last if stream.last is not None else seq
    missing = stream.missing - {seq}
    if whole:
        missing = frozenset(m for m in missing if m > seq)
    if seq <= last:
        return replace(stream, missing=missing)
    if not whole and seq - last > 1:
        missing |= frozenset(range(max(last + 1, seq - WINDOW), seq))
    floor = stream.floor
    if len(missing) > WINDOW:
        floor, missing = seq, frozenset()
    return replace(stream, last=seq, missing=missing, floor=seq if whole else floor)


def _dated(stream: Stream, message: Message, at: float) -> Stream:
    on_the_way, delays = 0.0, stream.delays
    if message.time is not None:
        difference = at - message.time
        delays = delays.after(difference, at)
        on_the_way = delays.under_way(difference)
    return replace(stream, delays=delays, as_of=at - on_the_way - message.age)


def _read(stream: Stream, message: Message, seq: int, at: float) -> Taken:
    readings = dict(stream.readings)
    faults: list[Fault] = []
    moves = []
    for name, told in (message.values or {}).items():
        declared, before = stream.declared.get(name), readings.get(name)
        if declared is None:
            faults.append(Fault.UNKNOWN_NAME)
            continue
        if before is not None and before.seq > seq:
            continue
        value = value_of(told, declared)
        if value is None:
            faults.append(Fault.UNFIT_VALUE)
            readings.pop(name, None)
            continue
        readings[name] = Reading(value, seq)
        if before is not None and before.value != value:
            label, panel = declared.spoken_name, declared.panel
            moves.append(Move(name, before.value, value, at, label, panel))
    for fault in faults:
        stream = with_rejected(stream, fault)
    return replace(stream, readings=readings), tuple(moves)


def value_of(told: object, declared: StateQuantity) -> str | Decimal | None:
    """Return a value in its declared type; None if it does not fit."""
    if declared.number:
        if isinstance(told, bool) or not isinstance(told, int | float):
            return None
        return Decimal(repr(told)) if abs(told) <= LARGEST else None
    if isinstance(told, bool):
        return ON_OFF[told] if set(declared.positions) == set(ON_OFF) else None
    if isinstance(told, str):
        return told if told in declared.positions else None
    word = f"{told:g}" if isinstance(told, int | float) else ""
    return word if word in declared.positions else None
