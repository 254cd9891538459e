"""``callout bench replies``: replies of drills in synthetic voices, through the real recogniser."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import click
import numpy as np

from callout.app.listening.engines import open_recogniser
from callout.app.running.practice import first_pages
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.synth import installed_voices, synthesise
from callout.core.drill.entries import entries_of
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.exercises import exercises_of
from callout.core.drill.picking import Pick
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.hearing.segmenter import Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE, Samples

LISTS = ("before-start", "before-takeoff")
VOICES = ("festival:cmu_us_slt_arctic_hts", "festival:ked_diphone", "espeak:en-us",
          "espeak:en-gb+f2")  # fmt: skip
MODES = (Mode.NEXT_ITEM, Mode.WRONG_STATE)


@dataclass(frozen=True, slots=True)
class RepliedWords:
    """One reply to one exercise."""

    exercise: Exercise
    words: str
    voice: str
    right: bool


def drill_replies(modes: Sequence[Mode] = MODES) -> Iterator[RepliedWords]:
    """Yield right and wrong replies to exercises on two shipped lists, in every other voice."""
    there = [voice for voice in VOICES if voice in installed_voices()]
    pages = [page for page in first_pages() if page.plan.list_id in LISTS]
    picks = [Pick(entry, 0.5, 0.5, Weakness.NONE) for entry in entries_of(pages)]
    for mode in modes:
        made = exercises_of(picks, mode, "seed", default_tables())
        for number, exercise in enumerate(one for one in made if one.mode is mode):
            for voice in there[number % 2 :: 2]:
                right, wrong = _words(exercise)
                yield RepliedWords(exercise, right, voice, True)
                yield RepliedWords(exercise, wrong, voice, False)


def _words(exercise: Exercise) -> tuple[str, str]:
    if exercise.mode is Mode.NEXT_ITEM:
        return exercise.answer, exercise.expectation.wrong[0].answer.text
    said = ("that is wrong", "that is right")
    return said if exercise.then else (said[1], said[0])


def hear_reply(said: RepliedWords, turns: Turns) -> Verdict:
    """Return what a drill would decide on a reply; of several utterances, the first sure one."""
    commands, tables = default_commands(), default_tables()
    besides = (*commands.groups(), commands.answers["unknown"])
    expected = said.exercise.expectation
    turns.listen_for(candidates_for(expected, besides, tables, said.exercise.key.item_id))
    sound = synthesise(said.words, said.voice)
    quiet = np.zeros(SAMPLE_RATE // 2, np.int16)
    whole: Samples = np.concatenate([quiet, sound, quiet, quiet, quiet])
    blocks = (whole[start : start + 512] for start in range(0, len(whole), 512))
    sure = [heard for heard in hear_all(blocks, turns) if heard.sure]
    return judge_reply(sure[0].text, expected, tables).verdict if sure else Verdict.UNCLEAR


@click.command("replies")
def command() -> None:
    """Say right and wrong replies of drills in synthetic voices, and count the verdicts."""
    turns = Turns(Segmenter(), open_recogniser("embedded"))
    counts: Counter[tuple[Mode, bool, Verdict]] = Counter()
    for said in drill_replies():
        counts[said.exercise.mode, said.right, hear_reply(said, turns)] += 1
    turns.close()
    if not counts:
        click.echo("No voice is installed: apt-get install festival festvox-us-slt-hts espeak-ng")
    for mode in MODES if counts else ():
        for right in (True, False):
            total = sum(counts[mode, right, verdict] for verdict in Verdict)
            told = ", ".join(f"{v.value} {counts[mode, right, v]}" for v in Verdict)
            click.echo(f"{mode.value}, {'right' if right else 'wrong'} reply, of {total}: {told}")
