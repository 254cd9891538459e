"""``callout bench fuzz``: damaged list files never crash, hang or fill the memory."""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from callout.app.list_files.pronouncing import pronunciations
from callout.app.shared.checklist_files import FileKind, kind_of
from callout.app.shared.found_files import yaml_files
from callout.app.shared.located_yaml import parse_yaml
from callout.app.shared.tables import default_tables
from callout.bench.load import peak_mb
from callout.core.formats.flight_schema import flight_from
from callout.core.formats.overlay_schema import overlay_from
from callout.core.formats.schema import checklist_from
from callout.core.lint.finding import Subject
from callout.core.lint.rules import lint
from callout.core.model.flight import Flight
from callout.core.planning.run_plan import plan_for
from callout.core.printing.shown_list import shown_list
from callout.errors import CalloutError

SLOW_S = 5.0
"""Processor seconds, which other programs do not lengthen."""
_NASTY = (
    "{", "}", "[", "]", "&a", "*a", "!!python/object:os.system", "---", "...", "|", ">", "%YAML",
    "'", '"', "\t", "\x00", "\ufeff", "\u202e", "\u2028", "null", "~", "yes", "1e999", "9" * 400,
    "{qnh}", "{1/0}", "{qnh**qnh}", "{(((((qnh)))))}", "not " * 40, "a and " * 30 + "a", "<<: {}",
    "- - - - -", "? :", ":", "#", "@", "`", "\U0001f600", "e\u0301", "\r", "id: on", "when: (",
    "{9**9**9}", "{qnh if night else 1}", "items: []", "sections: {}", "-0", "0x10", "1_000",
)  # fmt: skip
Mutation = Callable[[random.Random, str], str]


@dataclass(frozen=True, slots=True)
class FuzzFailure:
    """One input that was not dealt with as it should be."""

    seed: int
    what: str
    text: str


def damaged(rng: random.Random, text: str) -> str:
    """Return ``text`` with one to six things done to it."""
    for _ in range(rng.choice((1, 1, 1, 1, 2, 3, 6))):
        text = rng.choice(_MUTATIONS)(rng, text)
    return text


def _insert(rng: random.Random, text: str) -> str:
    at = rng.randint(0, len(text))
    return text[:at] + rng.choice(_NASTY) + text[at:]


def _drop(rng: random.Random, text: str) -> str:
    at = rng.randint(0, len(text))
    return text[:at] + text[at + rng.randint(1, 12) :]


def _lines(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    match rng.randrange(4):
        case 0:
            lines[one], lines[other] = lines[other], lines[one]
        case 1:
            lines.insert(one, lines[other])
        case 2:
            del lines[one]
        case 3:
            lines[one] = " " * rng.randint(0, 9) + lines[one].lstrip()
    return "\n".join(lines)


def _value(rng: random.Random, text: str) -> str:
    """Put something else after a colon."""
    places = [n for n, char in enumerate(text) if char == ":"]
    if not places:
        return text
    at = rng.choice(places) + 1
    end = text.find("\n", at)
    return f"{text[:at]} {rng.choice(_NASTY)}{text[end:] if end >= 0 else ''}"


def _byte(rng: random.Random, text: str) -> str:
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data:
        data[rng.randrange(len(data))] = rng.randrange(256)
    return data.decode("utf-8", "replace")


def _cut(rng: random.Random, text: str) -> str:
    return text[: rng.randint(0, len(text))]


_MUTATIONS: tuple[Mutation, ...] = (_insert, _drop, _lines, _lines, _value, _value, _byte, _cut)


def take(text: str) -> str:
    """Do with ``text`` all that check and show do; return what became of it."""
    try:
        node = parse_yaml(text, "fuzz.yaml")
        kind = kind_of(node)
        if kind is FileKind.OVERLAY:
            overlay_from(node, "fuzz.yaml")
        elif kind is FileKind.FLIGHT:
            flight_from(node, "fuzz.yaml")
        else:
            _whole(text)
    except CalloutError:
        return "refused"
    return "taken"


def _whole(text: str) -> None:
    tables, flight = default_tables(), _flight()
    checklist = checklist_from(parse_yaml(text, "fuzz.yaml"), "fuzz.yaml")
    lint(Subject(checklist, tables, flight, pronunciations()))
    shown_list(checklist, flight, tables)
    plan_for(checklist, flight, tables)


def _flight() -> Flight:
    text = "callout: 1\nquantities: {qnh: 1013 hPa}\nfacts: {night: no}\n"
    return flight_from(parse_yaml(text, "flight.yaml"), "flight.yaml")


def run(files: list[Path], count: int, first: int) -> Iterator[tuple[str, FuzzFailure | None]]:
    """Yield what became of each of ``count`` damaged files."""
    texts = [path.read_text(encoding="utf-8") for path in files]
    take(texts[0])  # tables and dictionaries are read before the clock runs
    for seed in range(first, first + count):
        rng = random.Random(seed)
        text = damaged(rng, rng.choice(texts))
        began = time.process_time()
        try:
            outcome = take(text)
        except Exception as error:  # whatever escapes is what is looked for
            yield "crashed", FuzzFailure(seed, f"{type(error).__name__}: {error}", text)
            continue
        slow = time.process_time() - began > SLOW_S
        yield outcome, FuzzFailure(seed, "slow", text) if slow else None


@click.command("fuzz", short_help="Damaged list files: no crash, no hang, bounded memory.")
@click.option("--count", type=click.IntRange(1), default=50_000, show_default=True)
@click.option("--first", type=int, default=0, help="First seed.")
@click.option("--keep", type=click.Path(path_type=Path), help="Folder for inputs that fail.")
@click.option("--folder", type=click.Path(path_type=Path, exists=True), default="checklists")
def command(count: int, first: int, keep: Path | None, folder: Path) -> None:
    """Damage the lists, overlays and flight files of a folder and read each as check and show do.

    The exit code is 1 when one crashed or took more than five seconds.
    """
    outcomes: Counter[str] = Counter()
    failures = []
    for outcome, failure in run(yaml_files(folder), count, first):
        outcomes[outcome] += 1
        if failure:
            failures.append(failure)
            click.echo(f"seed {failure.seed}: {failure.what[:200]}")
            if keep:
                keep.mkdir(parents=True, exist_ok=True)
                (keep / f"{failure.seed}.yaml").write_text(failure.text, "utf-8", "replace")
    told = ", ".join(f"{n} {what}" for what, n in sorted(outcomes.items()))
    click.echo(f"{count} damaged files: {told}; {len(failures)} failed; {peak_mb():.0f} MB at most")
    sys.exit(1 if failures else 0)
