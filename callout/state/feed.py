"""One stream, fed line by line from any thread, and reported at most a few times per second."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Mapping
from typing import TextIO

from callout.core.model.state_quantity import StateQuantity
from callout.core.sentences import aircraft as sentences
from callout.core.state.board import Board, Move
from callout.core.state.messages import LONGEST, Fault
from callout.core.state.stream import Stream, take_line, with_rejected, without_peer
from callout.ports.state import StateSink
from callout.state.recording import recorded_line

REPORT_S = 0.02
"""Minimum time between two reports; moves in between come with the next one."""
LOST_S = 5.0
"""Silence after which nothing is known any more, which is then reported."""
MOST_MOVES = 10_000
"""Maximum number of moves kept for one report."""
LINES_S = 1_000
"""Maximum lines per second from one peer; the rest is counted and dropped."""
MOST_PEERS = 64


class Feed:
    """Turns lines into reports.

    clock: seconds, never going backwards. record: receives every line with its time of arrival.
    """

    def __init__(
        self,
        declared: Mapping[str, StateQuantity],
        clock: Callable[[], float],
        record: TextIO | None = None,
    ) -> None:
        self._stream = Stream(declared)
        self._clock = clock
        self._record = record
        self._lock = threading.Lock()
        self._moves: deque[Move] = deque(maxlen=MOST_MOVES)
        self._sink: StateSink | None = None
        self._began = clock()
        self._lost = False
        self._dirty = False
        self._reported = -REPORT_S
        self._rates: dict[str, tuple[int, int]] = {}
        self.on_board: Callable[[Board], None] = lambda board: None
        """Called with every report, for a panel."""

    @property
    def stream(self) -> Stream:
        """What has arrived so far."""
        with self._lock:
            return self._stream

    def start(self, sink: StateSink) -> None:
        """Report to ``sink`` from now on."""
        with self._lock:
            self._sink, self._began, self._dirty = sink, self._clock(), True

    def stop(self) -> None:
        """Stop reporting."""
        with self._lock:
            self._sink = None

    def line(self, raw: bytes | str, peer: str) -> None:
        """Take one line from ``peer``."""
        at = self._clock()
        with self._lock:
            if not self._within_rate(peer, at):
                self._stream = with_rejected(self._stream, Fault.TOO_MANY)
                return
            text = raw if isinstance(raw, str) else raw.decode("utf-8", "surrogateescape")
            if self._record is not None and len(text) <= LONGEST:
                self._record.write(recorded_line(text, peer, at - self._began))
            self._stream, moves = take_line(self._stream, text, peer, at)
            self._moves.extend(moves)
            self._dirty = True
        self.report()

    def refuse(self, fault: Fault) -> None:
        """Count a line that was not even parsed."""
        with self._lock:
            self._stream = with_rejected(self._stream, fault)

    def gone(self, peer: str) -> None:
        """Note that a connection closed."""
        with self._lock:
            self._stream = without_peer(self._stream, peer)
            self._dirty = True
        self.report(now=True)

    def report(self, *, now: bool = False) -> None:
        """Report what has changed, unless the last report is recent; call it regularly."""
        at = self._clock()
        with self._lock:
            lost, sink = self._is_lost(at), self._sink
            turned = lost != self._lost
            self._lost = lost
            if not turned and (not self._dirty or (not now and at - self._reported < REPORT_S)):
                return
            board, moves = self._stream.board, tuple(self._moves)
            self._moves.clear()
            self._dirty, self._reported = False, at
        self.on_board(board)
        if sink is None:
            return
        sink.on_state(board, moves)
        if turned and lost:
            sink.on_state_lost(sentences.NOTHING_COMES, sentences.START_THE_BRIDGE)
        elif turned:
            sink.on_state_back()

    def _is_lost(self, at: float) -> bool:
        heard = self._stream.heard_at
        return at - (self._began if heard is None else heard) >= LOST_S

    def _within_rate(self, peer: str, at: float) -> bool:
        second = int(at)
        since, count = self._rates.get(peer, (second, 0))
        count = count + 1 if since == second else 1
        if peer not in self._rates and len(self._rates) >= MOST_PEERS:
            self._rates.clear()
        self._rates[peer] = (second, count)
        return count <= LINES_S
