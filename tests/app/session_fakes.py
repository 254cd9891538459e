"""Adapters of a session that note what they are asked to do, in one common list."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

from callout.core.checklist_run.summary import Summary
from callout.core.conversation.records import JournalRecord
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.model.heard import Heard
from callout.ports.journal import JournalUnwritable
from callout.ports.keys import KeySink
from callout.ports.listening import ListeningSink


@dataclass
class Log:
    """What happened, in order."""

    entries: list[tuple[str, Any]] = field(default_factory=list)

    def add(self, kind: str, what: Any = None) -> None:
        self.entries.append((kind, what))

    def of(self, kind: str) -> list[Any]:
        return [what for name, what in self.entries if name == kind]


class MemoryJournal:
    """Keeps records in memory; ``full`` makes it refuse."""

    where = "memory"
    latest = Path("memory.jsonl")

    def __init__(self, log: Log) -> None:
        self.log = log
        self.full = False
        self.moved = ""
        self.records: list[JournalRecord] = []

    def append(self, records: Sequence[JournalRecord]) -> None:
        if not records:
            return
        if self.full:
            raise JournalUnwritable("The journal cannot be written: full.", "Free some space.")
        self.records += records
        for record in records:
            self.log.add("kept", record)

    def news(self) -> str:
        said, self.moved = self.moved, ""
        return said

    def close(self) -> None:
        self.log.add("closed", "journal")


class NotingView:
    """Notes what it is shown."""

    def __init__(self, log: Log) -> None:
        self.log = log

    def open(self, safety: str) -> None:
        self.log.add("safety", safety)

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        self.log.add("shown", (view, tuple(news)))

    def typing(self, text: str) -> None:
        self.log.add("typing", text)

    def redraw(self) -> None:
        self.log.add("redrawn")

    def notice(self, message: str, hint: str = "") -> None:
        self.log.add("notice", message)

    def finish(self, summary: Summary, journal: str, safety: str) -> None:
        self.log.add("finished", (summary, journal, safety))

    def close(self) -> None:
        self.log.add("closed", "view")


class ScriptedKeys:
    """Types the next line of a script whenever the session is idle."""

    def __init__(self, log: Log, script: Sequence[str | Callable[[KeySink], None]]) -> None:
        self.log = log
        self.script = list(script)
        self.sink: KeySink | None = None

    def start(self, sink: KeySink) -> None:
        self.sink = sink

    def ask(self, item_id: str, *, idle: bool) -> None:
        assert self.sink
        if not idle:
            return
        if not self.script:
            self.sink.on_input_ended()
            return
        line = self.script.pop(0)
        if callable(line):
            line(self.sink)
        else:
            self.sink.on_line(item_id, line)

    def taken(self) -> None:
        pass

    def close(self) -> None:
        self.log.add("closed", "keys")


class ScriptedListener:
    """Hears the next words of a script whenever it is armed; None is a failure."""

    name = "script"

    def __init__(self, log: Log, script: Sequence[str | None] = ()) -> None:
        self.log = log
        self.script = list(script)
        self.sink: ListeningSink | None = None

    def start(self, sink: ListeningSink) -> None:
        self.sink = sink

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        self.log.add("listen", (candidates.item_id, attempt))
        assert self.sink
        if not self.script:
            return
        words = self.script.pop(0)
        if words is None:
            self.sink.on_failure("The microphone is gone.", "Plug it in.")
        else:
            heard = Heard(words, words, 0.95, sure=True)
            sound = np.full(len(words), len(self.script), np.int16)
            self.sink.on_heard(candidates.item_id, heard, None, None, sound)

    def tool_speaks(self, now: bool) -> None:
        self.log.add("tool speaks", now)

    def stop_listening(self) -> None:
        self.log.add("deaf")

    def taken(self) -> None:
        self.log.add("taken")

    def close(self) -> None:
        self.log.add("closed", "listener")


class StepClock:
    """Moves on by a fixed step at each look; no time is spent."""

    def __init__(self, step: float = 0.5) -> None:
        self.time = 1_000.0
        self.step = step

    def now(self) -> float:
        self.time += self.step
        return self.time

    def utc(self) -> datetime:
        return datetime(2031, 5, 4, 6, 0, tzinfo=UTC)
