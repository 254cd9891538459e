"""``callout bench scale``: time and memory of the standard report, and how they grow."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from math import log
from pathlib import Path

import click

from callout.core.sentences.commands import benches as sentences
from callout.core.sentences.commands import report_options

SIZES = (100_000, 1_000_000, 10_000_000)


@dataclass(frozen=True, slots=True)
class ScaleRun:
    """One command in a process of its own."""

    seconds: float
    peak_mb: float
    """Of the process itself; 0 where that is not told."""
    cpu_s: float = 0.0
    """Processor time with all processes it began; 0 where that is not told."""
    output: bytes = b""


@dataclass(slots=True)
class Measured:
    """One number of rows and what it took."""

    rows: int
    made_s: float
    file_mb: float
    report: ScaleRun
    parquet_s: float = 0.0
    spread: ScaleRun = field(default_factory=lambda: ScaleRun(0.0, 0.0))


def run_command(*words: str | Path) -> ScaleRun:
    """Run a callout command; the time is wall-clock time, start-up included."""
    command = [sys.executable, "-m", "callout", *map(str, words)]
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as own, tempfile.TemporaryFile() as out:
        env = {**os.environ, "XDG_DATA_HOME": own}  # no list of collections of the person's own
        child = subprocess.Popen(command, stdout=out, env=env)
        if hasattr(os, "wait4"):
            _, status, used = os.wait4(child.pid, 0)
            child.returncode = os.waitstatus_to_exitcode(status)
            peak = used.ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)
            spent = used.ru_utime + used.ru_stime
        else:
            child.wait()
            peak = spent = 0.0
        seconds = time.perf_counter() - began
        out.seek(0)
        if child.returncode:
            raise click.ClickException(
                sentences.command_ended_with(" ".join(command[2:]), child.returncode)
            )
        return ScaleRun(seconds, peak, spent, out.read())


def measure_report(
    sizes: Sequence[int], memory: str, workers: int, where: Path
) -> Iterator[Measured]:
    """Yield what each number of rows takes, smallest first; with workers: that too, and equal."""
    from callout.bench.made_rows import make_rows
    from callout.store.collection import Collection
    from callout.store.partitions import write_months

    for rows in sorted(sizes):
        path = where / f"{rows}.duckdb"
        began = time.perf_counter()
        make_rows(path, rows, memory=memory)
        made = time.perf_counter() - began
        asked = ("query", "--report", "--format", "json", "--memory", memory)
        report = run_command(*asked, "--on", path)
        found = Measured(rows, made, path.stat().st_size / 1e6, report)
        if workers:
            began = time.perf_counter()
            collection = Collection(path, memory)
            list(write_months(collection, where / str(rows)))
            collection.close()
            found.parquet_s = time.perf_counter() - began
            found.spread = run_command(*asked, "--on", where / str(rows), "--workers", str(workers))
            _same(report.output, found.spread.output)
        yield found


def _same(one: bytes, several: bytes) -> None:
    """Raise an error that names the first row in which two reports differ."""
    if one == several:
        return
    first, second = json.loads(one), json.loads(several)
    for name, rows in first.items():
        for row, other in zip_longest(rows, second.get(name, ())):
            if row != other:
                said = f"Several workers gave another report than one: {name}: {row} {other}"
                raise click.ClickException(said)
    raise click.ClickException(sentences.WORKERS_PRINTED_MORE)


def growth_power(rows: Sequence[float], seconds: Sequence[float]) -> float:
    """Return the power of the number of rows that the time grows with (least squares of logs)."""
    points = [(log(x), log(y)) for x, y in zip(rows, seconds, strict=True)]
    middle = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    over = sum((x - middle[0]) * (y - middle[1]) for x, y in points)
    return over / sum((x - middle[0]) ** 2 for x, _ in points)


def _journals(sessions: int, workers: int, where: Path) -> None:
    """Print what real journals take: all new, none changed, and by several workers.

    Processor time, that of a loop beside it: other programs change both alike.
    """
    from callout.bench.year import make_year

    made = make_year(where / "journals", sessions=sessions)
    click.echo(f"{sessions:,} journals of {made.records:,} records")
    words = ("collect", where / "journals", "--into", where / "journals.duckdb")
    _tell_journals("by one process", sessions, run_command(*words))
    _tell_journals("none has changed", sessions, run_command(*words))
    if workers:
        far = ("collect", where / "journals", "--into", where / "spread.duckdb")
        spread = run_command(*far, "--workers", str(workers))
        _tell_journals(f"by {workers} workers", sessions, spread)


def _tell_journals(how: str, count: int, took: ScaleRun) -> None:
    began = time.process_time()
    sum(1 for _ in range(10**6))
    loop = time.process_time() - began
    click.echo(
        f"  {how}: {took.cpu_s:.1f} s of processor time ({1000 * took.cpu_s / count:.2f} ms each; "
        f"a loop of a million steps {1000 * loop:.0f} ms), {took.seconds:.1f} s by the clock, "
        f"{took.peak_mb:.0f} MB at most"
    )


def _many_names(count: int, where: Path) -> None:
    """Print how memory grows with the number of journals in one folder, however short they are."""
    from callout.bench.year import make_year

    make_year(where / "one", sessions=1)
    [journal] = (where / "one").glob("*.jsonl")
    head = b"".join(journal.read_bytes().splitlines(keepends=True)[:3])
    for size in (count // 10, count):
        folder = where / f"names-{size}"
        folder.mkdir()
        for number in range(size):
            name = f"{journal.stem[:-6]}{number:06x}"
            data = head.replace(journal.stem.encode(), name.encode())
            (folder / f"{name}.jsonl").write_bytes(data)
        took = run_command("collect", folder, "--into", where / f"{size}.duckdb")
        _tell_journals(f"{size:,} journals of three records in one folder", size, took)


def _print(found: Measured, workers: int) -> None:
    line = (
        f"{found.rows:>11,} rows: made in {found.made_s:5.1f} s, file {found.file_mb:6.1f} MB, "
        f"report in {found.report.seconds:5.1f} s, {found.report.peak_mb:4.0f} MB at most"
    )
    if workers:
        line += (
            f"; as Parquet in {found.parquet_s:.1f} s, report by {workers} workers in "
            f"{found.spread.seconds:.1f} s, equal"
        )
    click.echo(line)


def draw_figures(found: Sequence[Measured], start: float, path: Path) -> None:
    """Draw time less ``start`` and memory against rows; dashed: growth in step with the rows."""
    import matplotlib

    matplotlib.use("agg")
    from matplotlib import pyplot

    rows = [one.rows for one in found]
    figure, (left, right) = pyplot.subplots(1, 2, figsize=(9, 3.6), layout="constrained")
    alone = [max(0.001, one.report.seconds - start) for one in found]
    left.loglog(rows, alone, "o-", color="#0072B2", label="one process")
    if found[-1].spread.seconds:
        times = [one.spread.seconds for one in found]
        name = "several workers, their start included"
        left.loglog(rows, times, "s-", color="#D55E00", label=name)
    last = alone[-1] / rows[-1]
    left.loglog(rows, [n * last for n in rows], "--", color="#666666", label="linear")
    left.set(xlabel="rows", ylabel="seconds, less start-up", title="Standard report")
    left.legend(frameon=False)
    right.semilogx(rows, [one.report.peak_mb for one in found], "o-", color="#0072B2")
    right.set(xlabel="rows", ylabel="MB", title="Memory at most", ylim=(0, None))
    for axes in (left, right):
        axes.grid(color="#dddddd")
    figure.savefig(path, dpi=150)
    pyplot.close(figure)


@click.command("scale", short_help=sentences.BENCH_SCALE)
@click.option("--sizes", type=click.IntRange(20), multiple=True, default=SIZES, show_default=True)
@click.option("--memory", default="1GB", show_default=True, help=report_options.MEMORY)
@click.option("--workers", type=click.IntRange(0, 16), default=0, help=sentences.SCALE_WORKERS)
@click.option("--journals", type=click.IntRange(0), default=300, show_default=True)
@click.option("--names", type=click.IntRange(0), default=0, help=sentences.SCALE_NAMES)
@click.option("--plot", type=click.Path(path_type=Path), help=sentences.SCALE_PLOT)
def command(
    sizes: tuple[int, ...],
    memory: str,
    workers: int,
    journals: int,
    names: int,
    plot: Path | None,
) -> None:
    """Make rows, print how long the standard report takes on them, and how that grows."""
    with tempfile.TemporaryDirectory(prefix="callout-scale-") as folder:
        where = Path(folder)
        if journals:
            _journals(journals, workers, where)
        if names:
            _many_names(names, where)
        [smallest] = measure_report((20,), memory, 0, where)
        start = smallest.report.seconds
        found = []
        for one in measure_report(sizes, memory, workers, where):
            found.append(one)
            _print(one, workers)
    if len(found) > 1:
        spent = [max(0.001, one.report.seconds - start) for one in found]
        power = growth_power([one.rows for one in found], spent)
        click.echo(
            f"less {start:.1f} s, which twenty rows take, time grows with the number of rows "
            f"to the power {power:.2f}"
        )
    if plot:
        draw_figures(found, start, plot)
        click.echo(f"{plot} written.")
