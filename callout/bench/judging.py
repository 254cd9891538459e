"""How many right replies the judge accepts, and how many wrong ones."""

from __future__ import annotations

import json
import time
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import click

import callout
from callout.app.list_files.typed_replies import (
    BatchInvalid,
    TypedQuestion,
    expectation_of,
    judge_question,
    labelled_in,
)
from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences.commands import benches as sentences

TABLE = Path("tests") / "data" / "judging_pairs.jsonl"
LEAST_ACCEPTED = 0.99
CROWD = 40


@dataclass(frozen=True, slots=True)
class JudgingCase:
    """One labelled reply and its judgement."""

    family: str
    expect: str
    reply: str
    label: str
    found: Judgement
    seconds: float

    @property
    def right(self) -> bool:
        """True when the reply should be accepted."""
        return self.label == Verdict.MATCH.value

    @property
    def accepted(self) -> bool:
        """True when the judge accepted it."""
        return self.found.verdict is Verdict.MATCH

    @property
    def failed(self) -> bool:
        """True when the outcome is not the labelled one."""
        if self.label == "refuse":
            return self.accepted
        return self.found.verdict.value != self.label


def default_table() -> Path:
    """Return the labelled table of this source tree, or of the working directory."""
    beside = Path(callout.__file__).parents[1] / TABLE
    return beside if beside.exists() else TABLE


def judge_pairs(path: Path) -> list[JudgingCase]:
    """Judge every labelled pair of ``path``."""
    cases = []
    for row, question in labelled_in(path):
        start = time.perf_counter()
        found = judge_question(question)
        took = time.perf_counter() - start
        expect = " / ".join(question.texts["expect"])
        cases.append(JudgingCase(row["family"], expect, question.reply, row["label"], found, took))
    return cases


def _share(hits: int, total: int) -> str:
    low, high = wilson_interval(hits, total)
    share = 100 * hits / total if total else 0.0
    return f"{hits}/{total} = {share:.2f} % (95 % {100 * low:.2f} to {100 * high:.2f} %)"


def _brief(hits: int, total: int) -> str:
    """Return "3/41 (2.5 to 19.4 %)": the Wilson interval of a family's share."""
    if not total:
        return "-"
    low, high = wilson_interval(hits, total)
    return f"{hits}/{total} ({100 * low:.1f} to {100 * high:.1f} %)"


def report_lines(cases: list[JudgingCase]) -> Iterable[str]:
    """Yield the lines of the report."""
    families: dict[str, list[JudgingCase]] = defaultdict(list)
    for case in cases:
        families[case.family].append(case)
    yield f"{'family':32} {'right, refused':>28} {'wrong, accepted':>30}"
    for family, rows in families.items():
        right = [c for c in rows if c.right]
        wrong = [c for c in rows if not c.right]
        refused = _brief(sum(not c.accepted for c in right), len(right))
        accepted = _brief(sum(c.accepted for c in wrong), len(wrong))
        yield f"{family[:32]:32} {refused:>28} {accepted:>30}"
    yield ""
    yield from _totals(cases)
    failures = [c for c in cases if c.failed]
    yield ""
    yield f"failures: {len(failures)}" if failures else "failures: none"
    for c in failures:
        verdict = c.found.verdict.value
        yield f"  {c.expect!r}: {c.reply!r} should be {c.label}, was {verdict} ({c.found.code})"


def _totals(cases: list[JudgingCase]) -> Iterable[str]:
    right = [c for c in cases if c.right]
    wrong = [c for c in cases if not c.right]
    exact = [c for c in wrong if c.label != "refuse"]
    refused = sum(not c.accepted for c in right)
    yield f"right replies refused: {_share(refused, len(right))}"
    yield f"right replies accepted: {_share(sum(c.accepted for c in right), len(right))}"
    yield f"wrong replies accepted: {_share(sum(c.accepted for c in wrong), len(wrong))}"
    yield f"mismatch or unclear as labelled: {_share(sum(not c.failed for c in exact), len(exact))}"
    yield f"median time for one reply: {1000 * median(c.seconds for c in cases):.3f} ms"
    yield f"the same with {CROWD} accepted answers: {1000 * crowded_time(cases):.3f} ms"
    yield "intervals: Wilson score, Newcombe, Statistics in Medicine 17:857-872 (1998), method 3"


def crowded_time(cases: list[JudgingCase]) -> float:
    """Return the median seconds for a reply where ``CROWD`` different answers would do."""
    listed = tuple(dict.fromkeys(c.expect for c in cases if " / " not in c.expect))
    sample = cases[:: max(1, len(cases) // 300)]
    took = []
    for n, case in enumerate(sample):
        texts = tuple(listed[(n + k) % len(listed)] for k in range(min(CROWD, len(listed))))
        question = TypedQuestion(case.reply, {"expect": texts})
        expected, tables = expectation_of(question), default_tables()
        judge_reply(case.reply, expected, tables)
        start = time.perf_counter()
        judge_reply(case.reply, expected, tables)
        took.append(time.perf_counter() - start)
    return median(took)


@click.command("judging", short_help=sentences.BENCH_JUDGING)
@click.option("--pairs", type=click.Path(path_type=Path), help=sentences.JUDGING_PAIRS)
@click.option(
    "--least",
    type=click.FloatRange(0, 100),
    default=100 * LEAST_ACCEPTED,
    show_default=True,
    help=sentences.JUDGING_LEAST,
)
@click.option("--json", "as_json", is_flag=True, help=sentences.JUDGING_JSON)
def command(pairs: Path | None, least: float, as_json: bool) -> None:
    """Judge a table of labelled replies and print every failure, by family with 95 % intervals.

    Each line of a table is an object with "reply", "expect", "family", and "label" (match,
    mismatch, unclear or refuse) or "ok" (true or false); it may also have "challenge", "wrong",
    "tolerance" and the other options of callout judge.

    Exits with code 1 if a wrong reply is accepted, or if fewer right ones are accepted than --least
    asks for.
    """
    path = pairs or default_table()
    cases = judge_pairs(path)
    if not cases:
        raise BatchInvalid(sentences.no_labelled_pairs(path), sentences.NO_PAIRS_HINT)
    right = [c for c in cases if c.right]
    accepted = sum(c.accepted for c in right)
    false = sum(c.accepted for c in cases if not c.right)
    if as_json:
        counts = {"right": len(right), "accepted": accepted, "wrong": len(cases) - len(right)}
        click.echo(json.dumps(counts | {"wrong_accepted": false}))
    else:
        for line in report_lines(cases):
            click.echo(line)
    if false or (right and 100 * accepted / len(right) < least):
        raise SystemExit(1)
