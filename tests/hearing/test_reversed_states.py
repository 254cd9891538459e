"""A state that a syllable reverses is not taken for the plain one: real voice and ear."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE
from callout.rates import convert_rate
from callout.speaking.embedded.rendering import FIRST, SECOND, Renderer
from callout.speaking.embedded.waveform import RATE

pytestmark = pytest.mark.audio

REVERSED = {
    "clean": "unclean",
    "exercised": "unexercised",
    "identified": "unidentified",
    "closed and armed": "closed and unarmed",
    "both steady": "both unsteady",
    "moving correctly": "moving incorrectly",
    "nearest suitable airport": "nearest unsuitable airport",
}


@pytest.fixture(scope="module")
def turns() -> Iterator[Turns]:
    made = Turns(Segmenter(), EmbeddedRecogniser())
    yield made
    made.close()


def verdicts(turns: Turns, said: str, expect: str) -> list[Verdict]:
    """Return the verdicts on ``said`` in both voices at an item that expects ``expect``."""
    wanted, tables, commands = expected_reply([expect], []), default_tables(), default_commands()
    turns.listen_for(candidates_for(wanted, commands.groups(), tables))
    found = []
    for timbre in (FIRST, SECOND):
        sound = np.concatenate(list(Renderer.shipped().sentences(f"{said}.", 170, timbre)))
        spoken = np.round(convert_rate(sound, RATE, SAMPLE_RATE) * 32_767).astype(np.int16)
        whole = np.pad(spoken, SAMPLE_RATE)
        blocks = (whole[at : at + BLOCK] for at in range(0, len(whole), BLOCK))
        found += [judge_heard(h, wanted, tables, commands).verdict for h in hear_all(blocks, turns)]
    return found


@pytest.mark.parametrize(("plain", "reversed_state"), REVERSED.items())
def test_it_is_told_from_the_plain_state(turns: Turns, plain: str, reversed_state: str) -> None:
    assert verdicts(turns, plain, plain) == [Verdict.MATCH] * 2
    assert verdicts(turns, reversed_state, plain) == [Verdict.MISMATCH] * 2
