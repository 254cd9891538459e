"""Two hours of one flight in accelerated time: does memory grow, does time drift?

Run: python -m tests.bench.soak_flight [HOURS]
"""

from __future__ import annotations

import itertools
import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

from callout.app.running.flying import FLIGHT
from callout.app.running.runner import Runner
from callout.app.running.session_parts import Deaf, Parts
from callout.app.running.speech import Speech
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.checklist_run.state import Context
from callout.core.conversation.pacing import Pacing
from callout.core.flight_run.due import in_flight_order
from callout.core.flight_run.events import SectorStarted
from callout.core.flight_run.replay import replay_sector
from callout.core.flight_run.state import SectorContext, SectorState
from callout.core.understanding.candidate_sets import candidates_for
from callout.journal.jsonl_reader import read_journal
from callout.journal.sector_files import SectorFiles, new_sector
from callout.ports.keys import KeySink
from callout.speaking.silent import SilentSpeaker
from tests.app.session_fakes import NotingView
from tests.bench.soak_session import FastClock, Forgetful
from tests.core.flight_kit import LISTS, flight, written

REPLY_S = 4.0
ROUND = (
    "power-up checklist", "yes", "on", "passed", "before start checklist", "yes", "compared",
    "fuelling complete", "hold", "continue", "engine fire drill", "cutoff",
    "before start checklist", "fuelling in progress", "complete", "off", "on", "taxiing",
    "taxi checklist", "yes", "five",
    "what is due", "117 knots",
)  # fmt: skip


class Talker:
    """Flies the same lists over and over until the time is up."""

    def __init__(self, clock: FastClock, until: float) -> None:
        self.clock, self.until = clock, until
        self.words = itertools.cycle(ROUND)
        self.last = itertools.cycle(("stop", "yes", "end of flight", "yes"))
        self.sink: KeySink | None = None
        self.count = 0
        self.most = [0, 0, 0, 0]
        """Most memory in each quarter, in bytes."""

    def start(self, sink: KeySink) -> None:
        self.sink = sink

    def ask(self, item_id: str, *, idle: bool) -> None:
        if not idle or not self.sink:
            return
        self.clock.time += REPLY_S
        self.count += 1
        going = self.clock.time < self.until
        self.sink.on_line(item_id, next(self.words) if going else next(self.last))
        quarter = min(3, int(4 * self.clock.time / self.until))
        self.most[quarter] = max(self.most[quarter], tracemalloc.get_traced_memory()[0])

    def taken(self) -> None:
        pass

    def close(self) -> None:
        pass


def main(hours: float) -> None:
    """Run the soak and print its numbers."""
    clock = FastClock()
    talker = Talker(clock, hours * 3600)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sector_id, own = new_sector(folder, clock.utc(), "soak")
        files = SectorFiles(folder, own)
        speech = Speech(SilentSpeaker(), audible=False)
        parts = Parts(files, NotingView(Forgetful()), talker, speech, clock, Deaf())
        session = Context(default_commands(), default_tables(), Pacing(silence_s=0), candidates_for)
        lists = in_flight_order(tuple(map(written, LISTS)))
        state = SectorState(SectorContext(session, lists, flight()))
        runner = Runner(state, parts, FLIGHT, safety="")
        tracemalloc.start()
        began = time.perf_counter()
        runner.run(lambda stamp: SectorStarted(stamp, sector_id, "soak", "Soak"))
        spent = time.perf_counter() - began
        progress = runner.state.progress
        found = read_journal(Path(own.where))
        quarters = ", ".join(f"{size / 1e6:.2f}" for size in talker.most)
        print(f"session time {clock.time / 60:.0f} min in {spent:.1f} s of work")
        print(f"replies {talker.count}, lists run {len(progress.runs)}, ended {progress.ended}")
        print(f"most memory in each quarter: {quarters} MB")
        same = replay_sector(found.records) == progress
        print(f"drift {clock.time - progress.at:.3f} s, replay equals live: {same}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 2.0)
