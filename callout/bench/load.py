"""``callout bench load``: how long loading and checking many lists takes, and how it scales."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log
from pathlib import Path

import click

from callout.app.list_files.checking import check_paths, count_findings
from callout.core.sentences.commands import benches as sentences

ITEMS = 60
SIZES = (125, 250, 500, 1000)
_STATES = (
    ("on", "off"), ("open", "closed"), ("up", "down"), ("armed", "disarmed"),
    ("locked", "unlocked"), ("auto", "manual"), ("in", "out"),
)  # fmt: skip
_PARTS = ("pump", "valve", "door", "lever", "switch", "light", "heater", "fan", "lock", "brake")
_SIDES = ("Left", "Right", "Upper", "Lower", "Forward", "Aft")


@dataclass(frozen=True, slots=True)
class Timed:
    """One size and what it took."""

    lists: int
    load_s: float
    check_s: float
    work_s: float
    """Processor seconds of the check, which other programs do not lengthen."""
    memory_mb: float


def list_text(number: int, items: int = ITEMS) -> str:
    """Return a list of ``items`` lines in sections of eight, with values and conditions."""
    head = (
        f"callout: 1\nid: list-{number}\ntitle: List {number}\nphase: taxi\n"
        f"method: challenge-and-response\ncomplete: list {number} checklist complete\nsections:\n"
    )
    return head + "".join(_section(start, items) for start in range(0, items, 8))


def _section(start: int, items: int) -> str:
    lines = [f"  - title: Section {start // 8 + 1}", "    items:"]
    for n in range(start, min(start + 8, items)):
        right, wrong = _STATES[n % len(_STATES)]
        lines += [f"      - id: item-{n}", f"        challenge: {_SIDES[n % 6]} {_PARTS[n // 6]}"]
        if n % 10 == 7:
            lines.append('        response: "{qnh}"')
        else:
            lines += [f"        response: {right}", f"        wrong: {wrong}"]
        if n % 9 == 4:
            lines.append("        when: night and not icing")
    return "\n".join(lines) + "\n"


FLIGHT = (
    "callout: 1\nquantities: {qnh: {value: 1013 hPa, kind: pressure}}\n"
    "facts: {night: no, icing: no}\n"
)


def measure_loading(sizes: Sequence[int], items: int) -> Iterator[Timed]:
    """Yield what loading and checking each number of lists takes."""
    from callout.app.shared.found_files import read_any, yaml_files

    for size in sizes:
        with tempfile.TemporaryDirectory() as where:
            folder = Path(where)
            (folder / "flight.yaml").write_text(FLIGHT, encoding="utf-8")
            for n in range(size):
                (folder / f"list-{n:05}.yaml").write_text(list_text(n, items), encoding="utf-8")
            began = time.perf_counter()
            found = [read_any(path) for path in yaml_files(folder)]
            loaded = time.perf_counter()
            assert not [file for file in found if file.error]
            del found
            begun, worked = time.perf_counter(), time.process_time()
            checked = check_paths([folder])
            done, work = time.perf_counter(), time.process_time() - worked
            assert count_findings(checked)[0] == 0
            yield Timed(size, loaded - began, done - begun, work, peak_mb())


def peak_mb() -> float:
    """Return the peak memory of this process in megabytes; 0 if unknown."""
    try:
        import resource
    except ImportError:  # Windows
        return 0.0
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (2**20 if sys.platform == "darwin" else 2**10)


def growth_power(timed: Sequence[Timed]) -> float:
    """Return the power of the number of lists that the work grows with; 1 is linear."""
    points = [(log(t.lists), log(t.work_s)) for t in timed]
    middle = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    over = sum((x - middle[0]) * (y - middle[1]) for x, y in points)
    return over / sum((x - middle[0]) ** 2 for x, _ in points)


@click.command("load", short_help=sentences.BENCH_LOAD)
@click.option("--items", type=click.IntRange(1, 60), default=ITEMS, show_default=True)
@click.option("--sizes", type=click.IntRange(1), multiple=True, default=SIZES, show_default=True)
def command(items: int, sizes: tuple[int, ...]) -> None:
    """Make folders of lists, load and check them, and print how the time grows."""
    list(measure_loading((2,), items))  # tables and dictionaries are read once, whatever the number
    timed = []
    for one in measure_loading(sizes, items):
        timed.append(one)
        per = one.check_s / one.lists * 1000
        click.echo(
            f"{one.lists:6} lists of {items} items: loaded in {one.load_s:6.2f} s, "
            f"loaded and checked in {one.check_s:6.2f} s ({per:.2f} ms each), "
            f"{one.memory_mb:.0f} MB at most"
        )
    if len(timed) > 1:
        click.echo(
            f"processor time grows with the number of lists to the power {growth_power(timed):.2f}"
        )
