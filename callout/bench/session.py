"""How fast and how large a session is: start-up, time to verdict, memory."""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median

import click

from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError
from callout.hearing.segmenter import BLOCK_SECONDS, Segmenter
from callout.ports.hearing import Samples

PATIENCE_S = 120
TARGETS = {
    "first_challenge_s": "at most 2",
    "compute_ms": "at most 150, median",
    "verdict_ms": "at most 400 median, 700 at 95 %",
    "real_time_factor": "at most 0.25",
    "memory_mb": "at most 400",
}


@dataclass(frozen=True, slots=True)
class Figures:
    """What was measured; times as median, 95th percentile and count."""

    machine: str
    python: str
    first_challenge_s: tuple[float, float, int]
    """From starting the program to the first challenge on the screen."""
    compute_ms: tuple[float, float, int]
    """Deciding about one utterance."""
    verdict_ms: tuple[float, float, int]
    """From the end of speech to the verdict, the wait for more speech included."""
    candidates: tuple[int, int]
    """Fewest and most phrases that were told apart."""
    real_time_factor: float
    """Processor seconds per second of sound: voice activity, recogniser and judge."""
    memory_mb: float | None
    """Resident memory of a session's process at its end, where the platform tells."""
    peak_mb: float | None
    """Most resident memory at any moment."""


@click.command("session", short_help=sentences.BENCH_SESSION)
@click.option("--runs", default=5, show_default=True, type=click.IntRange(1, 100))
@click.option("--engine", type=click.Choice(("embedded", "vosk")), default="embedded")
@click.option("--json", "as_json", is_flag=True, help=sentences.SESSION_JSON)
def command(runs: int, engine: str, as_json: bool) -> None:
    """Run the demonstration's recordings, measure, and name the machine."""
    figures = measure_session(runs, engine)
    for line in () if as_json else figure_table(figures):
        click.echo(line)
    click.echo(json.dumps(asdict(figures)))


def measure_session(runs: int, engine: str) -> Figures:
    """Return all figures; starts ``runs`` sessions in processes of their own."""
    starts = [first_challenge(engine) for _ in range(runs)]
    heard = _Hearing(engine)
    heard.run(runs)
    return Figures(
        machine=machine_words(),
        python=platform.python_version(),
        first_challenge_s=spread([seconds for seconds, _ in starts], 3),
        compute_ms=spread(heard.compute_ms, 1),
        verdict_ms=spread(heard.verdict_ms, 1),
        candidates=(min(heard.sizes), max(heard.sizes)),
        real_time_factor=round(heard.busy_s / heard.sound_s, 4),
        memory_mb=_most(told.get("resident") for _, told in starts),
        peak_mb=_most(told.get("peak") for _, told in starts),
    )


def figure_table(figures: Figures) -> Iterable[str]:
    """Yield the figures for people."""
    yield f"{figures.machine}, Python {figures.python}"
    yield f"{'':34} {'median':>9} {'95 %':>9} {'count':>6}  target"
    for name, words, unit in (
        ("first_challenge_s", "start to first challenge", "s"),
        ("compute_ms", "decision, compute alone", "ms"),
        ("verdict_ms", "end of speech to verdict", "ms"),
    ):
        middle, high, count = getattr(figures, name)
        yield f"{f'{words} ({unit})':34} {middle:9} {high:9} {count:6}  {TARGETS[name]}"
    low, most = figures.candidates
    yield f"{'phrases told apart at an item':34} {low:9} {most:9}"
    factor = figures.real_time_factor
    yield f"{'real-time factor':34} {factor:9} {'':16}  {TARGETS['real_time_factor']}"
    for words, mb in (("at its end", figures.memory_mb), ("peak", figures.peak_mb)):
        shown = "unknown" if mb is None else round(mb)
        yield f"{f'resident memory, {words} (MB)':34} {shown:>9} {'':16}  {TARGETS['memory_mb']}"


def first_challenge(engine: str) -> tuple[float, dict[str, float]]:
    """Return seconds to the first challenge, and the session's memory in MB as far as known."""
    with tempfile.TemporaryDirectory() as folder:
        arguments = ["demo", "--fast", "--engine", engine, "--journal-dir", folder]
        started = time.perf_counter()
        child = subprocess.Popen(
            [sys.executable, "-c", _CHILD, *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            env={**os.environ, "PYTHONUTF8": "1"},
        )
        assert child.stdout is not None
        seconds = next((time.perf_counter() - started for x in child.stdout if x[:1] == "["), None)
        _, told = child.communicate(timeout=PATIENCE_S)
    if seconds is None:
        raise CalloutError(f"The session did not start: {told.strip()[-300:]}", "callout doctor")
    return seconds, _memory_mb(told)


_CHILD = """
import sys
from callout.cli.main import app
try:
    app(prog_name="callout")
finally:
    try:
        from pathlib import Path
        pages = Path("/proc/self/statm")
        import resource
        if pages.exists():
            used = int(pages.read_text().split()[1]) * resource.getpagesize()
            print("resident", used, file=sys.stderr)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print("peak", peak * (1 if sys.platform == "darwin" else 1024), file=sys.stderr)
    except ImportError:
        pass
"""


def _memory_mb(told: str) -> dict[str, float]:
    pairs = (line.split() for line in told.splitlines() if line.startswith(("peak ", "resident ")))
    return {name: int(count) / 1e6 for name, count in pairs}


def _most(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)


class _Hearing:
    """Hears the demonstration's recordings as the session does and keeps times."""

    def __init__(self, engine: str) -> None:
        from callout.app.listening.engines import open_recogniser
        from callout.hearing.segmenter import Segmenter
        from callout.hearing.turns import Turns

        self._segmenter = Segmenter()
        self._turns = Turns(self._segmenter, open_recogniser(engine))
        self.compute_ms: list[float] = []
        self.verdict_ms: list[float] = []
        self.sizes: list[int] = []
        self.busy_s = self.sound_s = 0.0

    def run(self, times: int) -> None:
        """Hear every recording ``times`` times."""
        from callout.app.running.demo import load_demo
        from callout.app.shared.command_tables import default_commands
        from callout.app.shared.tables import default_tables
        from callout.core.understanding.candidate_sets import candidates_for

        demo, tables = load_demo(), default_tables()
        phrases = default_commands().groups()
        for item in demo.plan.items:
            found = candidates_for(item.expectation, phrases, tables, item.id)
            for recording in demo.script.all_of(item.id):
                self.sizes.append(len(found.candidates))
                self._turns.listen_for(found)
                for _ in range(times):
                    self._hear(recording.path)

    def _hear(self, path: Path) -> None:
        from callout.hearing.played import PlayedSource, Recording
        from callout.hearing.turns import hear_all

        queue = iter([Recording(path)])
        blocks = list(PlayedSource(lambda: next(queue, None)).blocks())
        started = time.process_time()
        heard = hear_all(silences_in_time(blocks, self._segmenter), self._turns)
        self.busy_s += time.process_time() - started
        self.sound_s += len(blocks) * BLOCK_SECONDS
        self.compute_ms += [h.compute_ms for h in heard]
        self.verdict_ms += [h.waited * 1000 + h.compute_ms for h in heard]


def silences_in_time(blocks: Iterable[Samples], segmenter: Segmenter) -> Iterator[Samples]:
    """Yield blocks at once, but in real time in a silence: what is worked out while it is
    waited for counts then as it does live.
    """
    due = time.perf_counter()
    for block in blocks:
        if segmenter.silence:
            due += BLOCK_SECONDS
            time.sleep(max(0.0, due - time.perf_counter()))
        else:
            due = time.perf_counter()
        yield block


def machine_words() -> str:
    """Return a description of the machine."""
    system = f"{platform.system()} {platform.machine()}"
    return f"{_processor()}, {os.cpu_count()} cores, {system}"


def _processor() -> str:
    listing = Path("/proc/cpuinfo")
    if listing.exists():
        for line in listing.read_text(encoding="utf-8").splitlines():
            if line.startswith("model name"):
                return line.partition(":")[2].strip()
    return platform.processor() or "unknown processor"


def spread(values: Sequence[float], digits: int) -> tuple[float, float, int]:
    """Return the median, the 95th percentile and the count of at least one value."""
    ordered = sorted(values)
    high = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return round(median(ordered), digits), round(high, digits), len(ordered)
