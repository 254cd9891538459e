"""``callout bench kills``: sessions killed at random moments lose nothing they acknowledged."""

from __future__ import annotations

import os
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import click

from callout.bench.hostile.killing import Kill, Killing
from callout.bench.hostile.nursery import Nursery
from callout.core.sentences.commands import benches as sentences

KINDS: Final = ("run", "fly", "drill")
_MOST: Final = {"run": 12, "fly": 12, "drill": 2}
"""Kills of one session before it may come to its end; a drill is not continued."""


def run_kills(count: int, first: int, where: Path) -> Iterator[Kill]:
    """Yield ``count`` kills and more, until the last session is over; the same seeds do the same.

    What they meet differs all the same: the moments are those of the machine.
    """
    nursery = Nursery()
    try:
        done, seed = 0, first
        while done < count:
            chance = random.Random(seed)
            kind = KINDS[seed % len(KINDS)]
            folder = where / f"{seed}"
            folder.mkdir(parents=True)
            for one in _session(
                Killing(kind, folder, nursery, chance), min(_MOST[kind], count - done)
            ):
                done += one.killed
                yield one
            seed += 1
    finally:
        nursery.close()


def _session(session: Killing, most: int) -> Iterator[Kill]:
    for _ in range(most):
        one = session.kill()
        yield one
        if one.wrong or (session.kind != "drill" and session.over()):
            break
    wrong = session.finish()
    if wrong:
        yield Kill(session.kind, "the end", False, 0, wrong)


@click.command("kills", short_help=sentences.BENCH_KILLS)
@click.option("--count", type=click.IntRange(1), default=1_000, show_default=True)
@click.option("--first", type=int, default=0, help=sentences.FIRST_SEED)
@click.option("--keep", type=click.Path(path_type=Path), help=sentences.KILLS_KEEP)
def command(count: int, first: int, keep: Path | None) -> None:
    """Kill lists, flights, drills and their continuations, and compare screens and journals.

    Between kills, files are linked, removed and replaced, facts are changed, and a second session
    is started on the same journal. The exit code is 1 if something acknowledged was lost.
    """
    if not hasattr(os, "fork"):
        raise click.UsageError(sentences.PROCESSES_TOO_SLOW)
    found: list[Kill] = []
    with tempfile.TemporaryDirectory(prefix="callout-kills-") as folder:
        for one in run_kills(count, first, keep or Path(folder)):
            found.append(one)
            if one.wrong:
                click.echo(f"{one.kind} ({one.mischief or 'no mischief'}): {one.wrong}", err=True)
    for line in kill_table(found):
        click.echo(line)
    sys.exit(1 if any(one.wrong for one in found) else 0)


def kill_table(found: list[Kill]) -> Iterator[str]:
    """Yield the table of what was done and what came of it."""
    yield "| killed | kills | with mischief | acknowledged | wrong |"
    yield "|---|---|---|---|---|"
    for kind in KINDS:
        mine = [one for one in found if one.kind == kind]
        killed = sum(one.killed for one in mine)
        told, wrong = sum(one.told for one in mine), sum(bool(one.wrong) for one in mine)
        yield f"| {kind} | {killed} | {_mischief(mine)} | {told} | {wrong} |"


def _mischief(found: list[Kill]) -> str:
    counts = Counter(one.mischief for one in found if one.mischief and one.killed)
    return ", ".join(f"{n} {what}" for what, n in sorted(counts.items())) or "none"
