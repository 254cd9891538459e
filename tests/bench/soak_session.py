"""Two hours of session in accelerated time: does memory grow, does time drift?

Run: python -m tests.bench.soak_session [HOURS]
"""

from __future__ import annotations

import itertools
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from callout.app.running.machines import LIST
from callout.app.running.runner import Runner
from callout.app.running.session_parts import Deaf, Parts
from callout.app.running.speech import Speech
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.replay import replay_list
from callout.core.checklist_run.state import Context, SessionState
from callout.core.conversation import events as ev
from callout.core.conversation.pacing import Pacing
from callout.core.understanding.candidate_sets import candidates_for
from callout.journal.jsonl_reader import read_journal
from callout.journal.jsonl_writer import create_journal
from callout.ports.keys import KeySink
from callout.speaking.silent import SilentSpeaker
from tests.app.session_fakes import Log, NotingView
from tests.core.session_kit import plan

REPLY_S = 4.0
CHATTER = ("off", "hold", "continue", "what is left", "on", "go back", "say again", "should be on")


class FastClock:
    """Session time that only replies move."""

    def __init__(self) -> None:
        self.time = 0.0
        self.began = datetime(2031, 5, 4, 6, 0, tzinfo=UTC)

    def now(self) -> float:
        return self.time

    def utc(self) -> datetime:
        return self.began + timedelta(seconds=self.time)


class Talker:
    """Says the next thing whenever the session is idle, until the time is up."""

    def __init__(self, clock: FastClock, until: float) -> None:
        self.clock = clock
        self.until = until
        self.words = itertools.cycle(CHATTER)
        self.sink: KeySink | None = None
        self.count = 0
        self.most = [0, 0, 0, 0]
        """Most memory in each quarter, in bytes."""
        self.end: Iterator[str] = iter(("on", "on", "1013", "closed and locked"))

    def start(self, sink: KeySink) -> None:
        self.sink = sink

    def ask(self, item_id: str, *, idle: bool) -> None:
        if not idle or not self.sink:
            return
        self.clock.time += REPLY_S
        if self.clock.time < self.until:
            self.sink.on_line(item_id, next(self.words))
            self.count += 1
            quarter = int(4 * self.clock.time / self.until)
            self.most[quarter] = max(self.most[quarter], tracemalloc.get_traced_memory()[0])
        else:
            words = "continue" if item_id == "@hold" else next(self.end, "skip, inoperative")
            self.sink.on_line(item_id, words)

    def taken(self) -> None:
        pass

    def close(self) -> None:
        pass


class Forgetful(Log):
    """Keeps nothing, so that only the session itself can grow."""

    def add(self, kind: str, what: object = None) -> None:
        pass


def main(hours: float) -> None:
    """Run the soak and print its numbers."""
    clock = FastClock()
    talker = Talker(clock, hours * 3600)
    with tempfile.TemporaryDirectory() as folder:
        journal = create_journal(Path(folder), "soak", clock.utc(), "soak")
        speech = Speech(SilentSpeaker(), audible=False)
        parts = Parts(journal, NotingView(Forgetful()), talker, speech, clock, Deaf())
        context = Context(default_commands(), default_tables(), Pacing(), candidates_for)
        runner = Runner(SessionState(context), parts, LIST, safety="")
        tracemalloc.start()
        began = time.perf_counter()
        summary = runner.run(lambda stamp: ev.Started(stamp, "soak", plan()))
        spent = time.perf_counter() - began
        path = Path(journal.where)
        found = read_journal(path)
        same = replay_list(found.records) == runner.state.progress
        quarters = ", ".join(f"{size / 1e6:.2f}" for size in talker.most)
        print(f"session time {summary.minutes:.0f} min in {spent:.1f} s of work")
        print(f"replies {talker.count}, records {len(found.records)}, {path.stat().st_size} B")
        print(f"most memory in each quarter: {quarters} MB")
        print(f"drift {clock.time - runner.state.progress.at:.3f} s, replay equals live: {same}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 2.0)
