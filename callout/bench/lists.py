"""``callout bench lists``: whole lists answered by synthetic voices, through the real
recogniser.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import click
import numpy as np

from callout.app.list_files.typed_replies import expectation_of, labelled_in
from callout.app.listening.engines import ENGINES, open_recogniser
from callout.app.shared.checklist_files import flight_beside, load_checklist, load_flight
from callout.app.shared.command_tables import default_commands
from callout.app.shared.found_files import read_any, yaml_files
from callout.app.shared.tables import default_tables
from callout.bench.list_outcomes import ListOutcome, summary_lines, time_lines
from callout.bench.session import silences_in_time
from callout.bench.synth import synthesise
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.model.checklist import Checklist
from callout.core.model.expectation import Answer, Expectation, Value
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.model.verdict import Verdict
from callout.core.planning.resolve import expectation_for
from callout.core.sentences.commands import benches as sentences
from callout.core.understanding.candidate_sets import candidates_for, reversed_states
from callout.core.understanding.hearing_verdict import judge_heard
from callout.errors import CalloutError, ChecklistInvalid
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE, Samples

VOICES = ("flite:rms", "flite:slt", "flite:awb")
TARGET = 0.97
"""Lowest acceptable share of right replies accepted first time."""
_QUIET_S = (0.4, 1.2)
"""Seconds of near silence before and after a reply."""
_HISS = 3.0
"""Root mean square of that silence, in steps of 16 bits: no room is digital zero."""


@dataclass(frozen=True, slots=True)
class SpokenReply:
    """One reply to be said at one item."""

    file: str
    item_id: str
    said: str
    right: bool
    expectation: Expectation


def list_replies(paths: Sequence[Path], *, wrong: bool) -> Iterator[SpokenReply]:
    """Yield the first right reply of every item, and every named wrong one if asked for."""
    for path in (file for p in paths for file in (_lists(p) if p.is_dir() else [p])):
        checklist = load_checklist(path)
        beside = flight_beside(path)
        flight = load_flight(beside) if beside else EMPTY_FLIGHT
        for item in checklist.items:
            try:
                wanted = expectation_for(checklist, item, flight, default_tables())
            except ChecklistInvalid:
                continue  # a value is unknown: nothing can be tried yet
            yield SpokenReply(str(path), item.id, _said(wanted.accepted[0]), True, wanted)
            for reply in wanted.wrong if wrong else ():
                yield SpokenReply(str(path), item.id, _said(reply.answer), False, wanted)


def reversed_replies(replies: Iterable[SpokenReply]) -> Iterator[SpokenReply]:
    """Yield for each right reply those that a syllable reverses ("unarmed"), once each."""
    told: set[str] = set()
    for reply in replies:
        answer = reply.expectation.accepted[0]
        for said in reversed_states(answer, default_tables()) if reply.right else ():
            wrong = judge_reply(said, reply.expectation, default_tables()).verdict
            if said not in told and wrong is not Verdict.MATCH:
                told.add(said)
                yield replace(reply, said=said, right=False)


def labelled_replies(path: Path) -> Iterator[SpokenReply]:
    """Yield every reply of a file of labelled pairs, as `bench judging` takes them."""
    for row, question in labelled_in(path):
        right = row["label"] == Verdict.MATCH.value
        yield SpokenReply(
            row["family"], question.challenge, question.reply, right, expectation_of(question)
        )


def _lists(folder: Path) -> list[Path]:
    found = (read_any(path) for path in yaml_files(folder))
    return [file.path for file in found if isinstance(file.content, Checklist)]


def _said(answer: Answer) -> str:
    return next(iter(spoken_forms(answer, default_tables(), 1)), answer.text)


class ListPlayer:
    """Hears one reply at one item as a live session does.

    in_time: silences last as long as they do live, so that times are those of a session.
    """

    def __init__(self, engine: str, *, in_time: bool = False) -> None:
        self._segmenter, self._in_time = Segmenter(), in_time
        self._turns = Turns(self._segmenter, open_recogniser(engine))
        self._commands = default_commands()

    def hear(self, spoken: SpokenReply, voice: str) -> ListOutcome:
        """Say and hear one reply."""
        wanted, tables = spoken.expectation, default_tables()
        self._turns.listen_for(
            candidates_for(wanted, self._commands.off_hold().groups(), tables, spoken.item_id)
        )
        blocks = in_blocks(in_a_room(synthesise(spoken.said, voice)))
        played = silences_in_time(blocks, self._segmenter) if self._in_time else blocks
        heard = hear_all(played, self._turns)
        judged = [(judge_heard(h, wanted, tables, self._commands), h) for h in heard]
        decisive = [pair for pair in judged if pair[0].verdict is not Verdict.UNCLEAR]
        verdict, words, reason = Verdict.UNCLEAR, "", "no speech was found"
        transcript, took_ms = "", 0.0
        if judged:
            judgement, one = (decisive or judged)[0]
            verdict, reason = judgement.verdict, judgement.reason
            words, transcript = one.text if one.sure else one.transcript, one.transcript
            took_ms = round(one.waited * 1000 + one.compute_ms, 1)
        file, item_id, right = spoken.file, spoken.item_id, spoken.right
        told = (verdict.value, words, reason, transcript, took_ms, has_number(wanted))
        return ListOutcome(file, item_id, voice, spoken.said, right, *told)

    def close(self) -> None:
        """Free the recogniser."""
        self._turns.close()


def has_number(wanted: Expectation) -> bool:
    """Return True if a number is expected."""
    return any(isinstance(p, Value) for answer in wanted.accepted for p in answer.parts)


def in_a_room(speech: Samples) -> Samples:
    """Return the speech with near silence around it, the same on every run."""
    rng = np.random.default_rng(len(speech))
    before, after = (rng.normal(0.0, _HISS, int(s * SAMPLE_RATE)) for s in _QUIET_S)
    parts = (before.astype(np.int16), speech, after.astype(np.int16))
    joined: Samples = np.concatenate(parts)
    return joined


def in_blocks(samples: Samples) -> Iterator[Samples]:
    """Yield the samples as a microphone delivers them."""
    return (samples[at : at + BLOCK] for at in range(0, len(samples), BLOCK))


@click.command("lists", short_help=sentences.BENCH_LISTS)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path, exists=True))
@click.option("--voice", "voices", multiple=True, default=VOICES, show_default=True)
@click.option("--engine", type=click.Choice(ENGINES), default="embedded", show_default=True)
@click.option("--every", type=click.IntRange(1), default=1, help=sentences.LISTS_EVERY)
@click.option("--pairs", type=click.Path(path_type=Path), help=sentences.LISTS_PAIRS)
@click.option("--right-only", is_flag=True, help=sentences.LISTS_RIGHT_ONLY)
@click.option("--reversed", "turned", is_flag=True, help=sentences.LISTS_REVERSED)
@click.option("--in-time", is_flag=True, help=sentences.LISTS_IN_TIME)
@click.option(
    "--json-file",
    "report",
    type=click.Path(path_type=Path),
    help=sentences.LISTS_JSON_FILE,
)
def command(
    paths: tuple[Path, ...],
    voices: tuple[str, ...],
    engine: str,
    every: int,
    pairs: Path | None,
    right_only: bool,
    turned: bool,
    in_time: bool,
    report: Path | None,
) -> None:
    """Say the right reply and each named wrong one at every item of the lists in PATHS.

    Every condition is assumed to be fulfilled. Counts come with 95 % Wilson intervals. The exit
    code is 1 if a wrong reply was accepted, or too few right ones were accepted first time.
    """
    chosen = _chosen(paths, pairs, wrong=not right_only)
    chosen = (list(reversed_replies(chosen)) if turned else chosen)[::every]
    outcomes = _heard(ListPlayer(engine, in_time=in_time), voices, chosen)
    if report:
        lines = (json.dumps(asdict(outcome), ensure_ascii=False) for outcome in outcomes)
        report.write_text("\n".join(lines) + "\n", encoding="utf-8")
    for line in summary_lines(outcomes, voices):
        click.echo(line)
    right = [o for o in outcomes if o.right]
    for line in time_lines([(o.took_ms, o.number) for o in right]) if in_time else ():
        click.echo(line)
    taken = sum(o.accepted for o in right)
    false = any(o.accepted for o in outcomes if not o.right)
    sys.exit(1 if false or taken < TARGET * len(right) else 0)


def _chosen(paths: Sequence[Path], pairs: Path | None, *, wrong: bool) -> list[SpokenReply]:
    if pairs is not None:
        return [reply for reply in labelled_replies(pairs) if wrong or reply.right]
    if not paths and not Path("checklists").is_dir():
        raise CalloutError(sentences.NO_CHECKLISTS_HERE, sentences.NO_CHECKLISTS_HINT)
    return list(list_replies(paths or (Path("checklists"),), wrong=wrong))


def _heard(
    listener: ListPlayer, voices: Sequence[str], chosen: Sequence[SpokenReply]
) -> list[ListOutcome]:
    """Return what became of each reply in each voice, and print what was not expected."""
    outcomes = []
    for voice in voices:
        for spoken in chosen:
            outcomes.append(listener.hear(spoken, voice))
            _tell(outcomes[-1])
    listener.close()
    return outcomes


def _tell(outcome: ListOutcome) -> None:
    """Print unexpected results as they happen."""
    if outcome.accepted != outcome.right:
        what = "not taken" if outcome.right else "WRONG REPLY ACCEPTED"
        where = f"{Path(outcome.file).parent.name}/{Path(outcome.file).stem} {outcome.item_id}"
        click.echo(
            f'{what}: {where}, {outcome.voice} said "{outcome.said}", heard "{outcome.heard}": '
            f"{outcome.verdict}, {outcome.reason}"
        )
