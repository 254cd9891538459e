"""``callout bench fuzz``: damaged and hostile inputs never crash, hang or fill the memory."""

from __future__ import annotations

import json
import os
import queue
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Iterator
from dataclasses import astuple, dataclass, field
from pathlib import Path
from typing import Final

import click

from callout.bench.hostile.damage import Target
from callout.bench.hostile.kinds import KINDS, Kind, input_of, open_target
from callout.core.sentences.commands import benches as sentences
from callout.own_process import end_process, module_command, start_process

SLOW_S: Final = 2.0
"""Processor seconds, which other programs do not lengthen."""
HUNG_S: Final = 40.0
"""Seconds of silence after which the worker is ended."""
GROWTH_MB: Final = 256.0
"""Limit on how far one input may raise the peak memory."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One input and its result."""

    seed: int
    became: str
    why: str = ""
    seconds: float = 0.0
    peak_mb: float = 0.0


@dataclass(slots=True)
class Tally:
    """Results of all inputs of a kind."""

    kind: str
    slow_s: float = SLOW_S
    outcomes: Counter[str] = field(default_factory=Counter)
    failures: list[Tried] = field(default_factory=list)
    slowest_s: float = 0.0
    peak_mb: float = 0.0
    first_mb: float = 0.0

    def add(self, one: Tried) -> None:
        """Count one; slow or large ones are failures too."""
        grown = one.peak_mb - self.peak_mb if self.peak_mb else 0.0
        self.outcomes[one.became] += 1
        self.slowest_s = max(self.slowest_s, one.seconds)
        self.first_mb = self.first_mb or one.peak_mb
        self.peak_mb = max(self.peak_mb, one.peak_mb)
        bad = one.became in ("crashed", "hung", "died")
        why = one.why if bad else _excess(one, grown, self.slow_s)
        if why:
            self.failures.append(Tried(one.seed, one.became, why))

    def line(self) -> str:
        """Return a row of the table."""
        told = ", ".join(f"{n:,} {what}" for what, n in sorted(self.outcomes.items()))
        count = sum(self.outcomes.values())
        memory = f"{self.first_mb:.0f} to {self.peak_mb:.0f} MB" if self.peak_mb else "-"
        failed = len(self.failures)
        return (
            f"| {self.kind} | {count:,} | {told} | {failed} | {self.slowest_s:.2f} s | {memory} |"
        )


HEAD: Final = (
    "| kind | inputs | what became of them | failed | slowest (processor) | memory at most |\n"
    "|---|---|---|---|---|---|"
)


def _excess(one: Tried, grown: float, slow_s: float) -> str:
    if one.seconds > slow_s:
        return f"{one.seconds:.1f} s"
    return f"{grown:.0f} MB" if grown > GROWTH_MB else ""


def run_inputs(kind: Kind, root: Path, first: int, count: int, where: Path) -> Iterator[Tried]:
    """Yield the result of each input, from worker processes that may die of one."""
    target = open_target(kind, root, where)
    if hasattr(target, "apart_only"):
        yield from (process_input(target, seed) for seed in range(first, first + count))
        return
    seed, last = first, first + count
    while seed < last:
        how = "died"
        for one in _worked(kind, root, where, seed, last):
            if one.became == "hung":
                how = one.became
            else:
                yield one
                seed = one.seed + 1
        if seed < last:
            yield _lost(target, seed, how)
            seed += 1


def _worked(kind: Kind, root: Path, where: Path, first: int, last: int) -> Iterator[Tried]:
    process = start_process(module_command("callout.bench.hostile.worker"))
    lines: queue.Queue[str] = queue.Queue()
    wish = {"kind": astuple(kind), "root": str(root.resolve()), "where": str(where)}
    assert process.stdin
    assert process.stdout
    threading.Thread(target=_read, args=(process.stdout, lines), daemon=True).start()
    try:
        process.stdin.write(json.dumps({**wish, "first": first, "end": last}) + "\n")
        process.stdin.flush()
        while line := lines.get(timeout=HUNG_S):
            yield Tried(*json.loads(line))
    except queue.Empty:
        yield Tried(-1, "hung")
    finally:
        end_process(process)


def _read(stream: Iterator[str], lines: queue.Queue[str]) -> None:
    try:
        for line in stream:
            lines.put(line)
    except (OSError, ValueError):
        pass
    lines.put("")


def _lost(target: Target, seed: int, how: str) -> Tried:
    """Report what the command itself does with an input at which a worker died or hung."""
    if not hasattr(target, "apart"):
        return Tried(seed, how, "the process was lost with it")
    return process_input(target, seed, f"the worker {how}: ")


def process_input(target: Target, seed: int, before: str = "") -> Tried:
    """Process one input end to end, in a separate process."""
    began = _spent()
    try:
        became = target.apart(input_of(target, seed))  # type: ignore[attr-defined]
    except Exception as error:  # anything that escapes is what we are looking for
        return Tried(seed, "crashed", f"{type(error).__name__}: {str(error)[:200]}")
    return Tried(seed, f"{before}{became}", seconds=0.0 if before else _spent() - began)


def _spent() -> float:
    """Return the processor seconds of this process and of those that it has waited for."""
    return sum(os.times()[:4])


@click.command("fuzz", short_help=sentences.BENCH_FUZZ)
@click.option(
    "--kind", "kinds", type=click.Choice(list(KINDS)), multiple=True, help=sentences.FUZZ_KIND
)
@click.option("--count", type=click.IntRange(1), default=50_000, show_default=True)
@click.option(
    "--whole",
    "sample",
    type=click.IntRange(0),
    default=500,
    show_default=True,
    help=sentences.FUZZ_WHOLE,
)
@click.option("--first", type=int, default=0, help=sentences.FIRST_SEED)
@click.option("--keep", type=click.Path(path_type=Path), help=sentences.KEEP)
def command(kinds: tuple[str, ...], count: int, sample: int, first: int, keep: Path | None) -> None:
    """Damage lists, journals, recordings, workbooks, papers, packs and queries, and read each one.

    Run it in the repository: complete lists and journals come from there. The exit code is 1 if one
    crashed, took more than two processor seconds (papers: more), or too much memory.
    """
    click.echo(HEAD)
    failed = 0
    for kind in kinds or KINDS:
        for tally in _tallies(kind, first, count, sample, keep):
            click.echo(tally.line())
            failed += len(tally.failures)
            for one in tally.failures:
                click.echo(f"  seed {one.seed}: {one.became}: {one.why}", err=True)
    sys.exit(1 if failed else 0)


def _tallies(kind: str, first: int, count: int, sample: int, keep: Path | None) -> Iterator[Tally]:
    root = Path()
    with tempfile.TemporaryDirectory(prefix="callout-fuzz-") as folder:
        where = Path(folder)
        target = open_target(KINDS[kind], root, where)
        slow_s = float(getattr(target, "slow_s", SLOW_S))
        tally = Tally(kind, slow_s)
        for one in run_inputs(KINDS[kind], root, first, count, where):
            tally.add(one)
        _keep(target, tally, keep)
        yield tally
        if hasattr(target, "apart") and sample and not hasattr(target, "apart_only"):
            apart = Tally(f"{kind}, whole", slow_s)
            for seed in range(first, first + sample):
                apart.add(process_input(target, seed))
            _keep(target, apart, keep)
            yield apart


def _keep(target: Target, tally: Tally, folder: Path | None) -> None:
    for one in tally.failures if folder else ():
        assert folder
        os.makedirs(folder, exist_ok=True)
        name = f"{tally.kind.replace(', ', '-')}-{one.seed}{target.suffix}"
        (folder / name).write_bytes(input_of(target, one.seed))
