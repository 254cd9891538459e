"""``callout bench check``: does the check find seeded defects, and nothing else?"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from callout.app.list_files.checking import check_paths
from callout.bench.defects import Corpus, Defect, Folder, defect_corpus
from callout.core.model.intervals import wilson_interval
from callout.core.sentences.commands import benches as sentences


@dataclass(frozen=True, slots=True)
class DefectOutcome:
    """The findings of the check about one folder."""

    name: str
    wanted: frozenset[str]
    found: frozenset[str]

    @property
    def missed(self) -> frozenset[str]:
        """Rules that should have reported but did not."""
        return self.wanted - self.found

    @property
    def false(self) -> frozenset[str]:
        """Rules that reported without reason."""
        return self.found - self.wanted


def check_outcomes(made: Corpus) -> Iterator[DefectOutcome]:
    """Yield the outcome for the clean folder and for every defect."""
    yield DefectOutcome("clean", frozenset(), _rules(made.clean))
    for defect in made.defects:
        yield _outcome(defect, made.clean)


def shipped_outcomes(folder: Path) -> Iterator[DefectOutcome]:
    """Yield the outcome for each shipped file, in which nothing is wrong."""
    for file in check_paths([folder]):
        found = frozenset(finding.rule for finding in file.findings)
        yield DefectOutcome(str(file.path), frozenset(), found)


def _outcome(defect: Defect, clean: Folder) -> DefectOutcome:
    return DefectOutcome(defect.name, defect.rules, _rules(defect.applied(clean)))


def _rules(folder: Folder) -> frozenset[str]:
    with tempfile.TemporaryDirectory() as where:
        for name, text in folder.items():
            (Path(where) / name).write_text(text, encoding="utf-8")
        checked = check_paths([Path(where)])
    return frozenset(finding.rule for file in checked for finding in file.findings)


@click.command("check", short_help=sentences.BENCH_CHECK)
@click.option(
    "--also",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help=sentences.CHECK_ALSO,
)
@click.option("--per-rule", is_flag=True, help=sentences.CHECK_PER_RULE)
def command(also: tuple[Path, ...], per_rule: bool) -> None:
    """Run `callout check` on lists with one or two seeded defects each, and on clean ones.

    Precision is the share of its findings that are right, recall the share of the defects it finds;
    both with 95 % Wilson intervals. The exit code is 1 if either is below 1.
    """
    usual = (Path("checklists"),) if Path("checklists").is_dir() else ()
    seeded = list(check_outcomes(defect_corpus()))
    clean = [outcome for folder in also or usual for outcome in shipped_outcomes(folder)]
    for line in report_lines(seeded, clean, per_rule):
        click.echo(line)
    sys.exit(1 if any(o.missed or o.false for o in (*seeded, *clean)) else 0)


def report_lines(
    seeded: Sequence[DefectOutcome], clean: Sequence[DefectOutcome], per_rule: bool
) -> Iterator[str]:
    """Yield the lines to print."""
    everything = [*seeded, *clean]
    for outcome in everything:
        if outcome.missed or outcome.false:
            missed = f" missed {', '.join(sorted(outcome.missed))};" if outcome.missed else ""
            false = f" false {', '.join(sorted(outcome.false))};" if outcome.false else ""
            yield f"{outcome.name}:{missed}{false}".rstrip(";")
    right = sum(len(o.wanted & o.found) for o in everything)
    single = sum(len(o.wanted) == 1 for o in seeded)
    combined = sum(len(o.wanted) > 1 for o in seeded)
    yield f"{single} lists with one defect, {combined} with several, {len(clean) + 1} clean files"
    yield _share("precision", right, sum(len(o.found) for o in everything))
    yield _share("recall", right, sum(len(o.wanted) for o in everything))
    if per_rule:
        yield from _by_rule(everything)


def _share(name: str, hits: int, total: int) -> str:
    low, high = wilson_interval(hits, total)
    share = hits / total if total else 1.0
    return f"{name:9} {share:7.2%}  {hits} of {total}  [{low:.2%}, {high:.2%}]"


def _by_rule(everything: Sequence[DefectOutcome]) -> Iterator[str]:
    wanted = Counter(rule for o in everything for rule in o.wanted)
    found = Counter(rule for o in everything for rule in o.found & o.wanted)
    false = Counter(rule for o in everything for rule in o.false)
    for rule in sorted({*wanted, *false}):
        yield f"  {rule:20} found {found[rule]} of {wanted[rule]}, false {false[rule]}"
