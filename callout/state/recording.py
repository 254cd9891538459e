"""A recorded stream: each line with the time, or the item, at which it arrived."""

from __future__ import annotations

import json
import threading
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from callout.core.model.state_quantity import StateQuantity
from callout.core.sentences import aircraft as sentences
from callout.core.state.board import Move
from callout.core.state.stream import Stream, take_line
from callout.errors import CalloutError
from callout.ports.state import StateSink

HEAD = {"callout": "state recording", "version": 1}
MOST_LINES = 2_000_000
LONGEST_LINE = 200_000


class RecordingUnusable(CalloutError):
    """A file that is not a recording of a stream."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a recording."""

    line: str
    """As it arrived."""
    at: float | None = None
    """Seconds from the beginning; None: when ``asked`` is asked."""
    asked: str = ""
    attempt: int = 1
    """The attempt at the item it waits for, from 1; ``try`` in the file."""
    peer: str = "recording"


def recording_head() -> str:
    """Return the first line of a recording."""
    return json.dumps(HEAD) + "\n"


def recorded_line(line: str, peer: str, at: float) -> str:
    """Return one line of a recording."""
    told = {"at": round(at, 4), "from": peer, "line": line.rstrip("\r\n")}
    return json.dumps(told) + "\n"


def read_recording(path: Path) -> tuple[Entry, ...]:
    """Return the entries of the recording at ``path``; raises RecordingUnusable."""
    try:
        with path.open(encoding="utf-8") as stream:
            lines = [line for _, line in zip(range(MOST_LINES), stream, strict=False)]
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", "") or "it is not text"
        said = sentences.state_recording_unreadable(path, reason)
        raise RecordingUnusable(said, sentences.STATE_RECORDING_HINT) from error
    if not lines or _object(lines[0]) != HEAD:
        said = sentences.not_a_state_recording(path)
        raise RecordingUnusable(said, sentences.STATE_RECORDING_HINT)
    entries = tuple(_entry(path, n, line) for n, line in enumerate(lines[1:], 2) if line.strip())
    if len({entry.at is None for entry in entries}) > 1:
        said = sentences.times_and_items_mixed(path)
        raise RecordingUnusable(said, sentences.TIMES_AND_ITEMS_HINT)
    return entries


def _entry(path: Path, number: int, line: str) -> Entry:
    told = _object(line)
    text, at, asked = told.get("line"), told.get("at"), told.get("asked", "")
    number_given = isinstance(at, int | float) and not isinstance(at, bool)
    when = float(at) if number_given and isinstance(at, int | float) and 0 <= at < 1e7 else None
    if not isinstance(text, str) or not isinstance(asked, str) or (when is None) != bool(asked):
        said = sentences.entry_incomplete(path, number)
        raise RecordingUnusable(said, sentences.ENTRY_HINT)
    attempt = told.get("try", 1)
    if not isinstance(attempt, int) or not 1 <= attempt <= MOST_LINES:
        said = sentences.try_not_a_count(path, number)
        raise RecordingUnusable(said, sentences.TRY_HINT)
    return Entry(text, when, asked, attempt, str(told.get("from", "recording")))


def _object(line: str) -> Mapping[str, object]:
    try:
        told = json.loads(line) if len(line) <= LONGEST_LINE else None
    except (ValueError, RecursionError):
        return {}
    return told if isinstance(told, dict) else {}


def _due(entry: Entry, item_id: str, attempt: int) -> bool:
    return entry.asked == item_id and entry.attempt <= attempt


class RecordedState:
    """Plays a recording, by its times or at the items that it names.

    In a recording by items, time is frozen: each state lasts until the next item is asked, as with
    recorded replies. Only the age given in a message itself counts.
    """

    def __init__(
        self,
        entries: tuple[Entry, ...],
        declared: Mapping[str, StateQuantity],
        clock: Callable[[], float],
        name: str = "recorded state",
    ) -> None:
        self.name = name
        self._entries = deque(entries)
        self._cued = any(entry.at is None for entry in entries)
        self._stream = Stream(declared)
        self._clock = clock
        self._sink: StateSink | None = None
        self._closed = threading.Event()
        self._began = 0.0
        self._played = 0

    def start(self, sink: StateSink) -> None:
        """Start to play."""
        self._sink, self._began = sink, self._clock()
        if not self._cued:
            threading.Thread(target=self._play, name="state", daemon=True).start()

    def asked(self, item_id: str, attempt: int = 1) -> None:
        """Play the lines for the moment when ``item_id`` is asked."""
        entries = []
        while self._cued and self._entries and _due(self._entries[0], item_id, attempt):
            entries.append(self._entries.popleft())
        if entries:
            self._report(entries, self._played * 1e-6)

    def close(self) -> None:
        """Stop playing."""
        self._closed.set()
        self._sink = None

    def _play(self) -> None:
        while self._entries and not self._closed.is_set():
            now = self._clock() - self._began
            due = []
            while self._entries and (self._entries[0].at or 0.0) <= now:
                due.append(self._entries.popleft())
            if due:
                self._report(due, self._clock())
            elif self._entries:
                self._closed.wait(min((self._entries[0].at or 0.0) - now, 0.5))

    def _report(self, entries: list[Entry], at: float) -> None:
        moves: list[Move] = []
        for entry in entries:
            self._played += 1
            self._stream, moved = take_line(self._stream, entry.line, entry.peer, at)
            moves += moved
        board, sink = self._stream.board, self._sink
        if self._cued and board.as_of is not None:
            board = replace(board, as_of=board.as_of - at, still=True)
        if sink is not None:
            sink.on_state(board, tuple(moves))
