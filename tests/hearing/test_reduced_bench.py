"""A share of the shared human recordings is heard no worse than at the last release."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from callout.bench import corpora
from callout.bench.hearing_trials import Bench, HearingTrial
from callout.core.model.intervals import wilson_interval
from callout.core.model.verdict import Verdict
from tests.hearing.recordings import embedded

ROOT = Path(__file__).parents[2]
SPEECH = ROOT.parent / "shared" / "speech"
RELEASE = ROOT / "tests/data/hearing_release.json"
"""Written by ``callout bench hearing --every 2 --json-file FILE``."""
SHARE = 20
"""Every so many-th recording of a kind is heard."""

pytestmark = [
    pytest.mark.audio,
    pytest.mark.skipif(not SPEECH.is_dir(), reason=f"no shared recordings in {SPEECH}"),
]


@cache
def trials() -> tuple[HearingTrial, ...]:
    """Hear every SHARE-th recording, clean; half a minute of computing, done once."""
    recogniser = embedded()
    found = tuple(Bench(recogniser).human(corpora.human_recordings(SPEECH, SHARE), None, "clean"))
    recogniser.close()
    return found


def accepted_first_time(found: tuple[HearingTrial, ...]) -> tuple[int, int]:
    """Return how many right replies were accepted at the first try, of how many."""
    replies = [t for t in found if t.kind is corpora.CorpusKind.REPLY]
    return sum(t.right and t.verdict == Verdict.MATCH.value for t in replies), len(replies)


def test_as_many_are_accepted_first_time_as_at_the_release() -> None:
    """The share's 95 % interval (Wilson 1927) reaches up to the release's, so it is no worse."""
    release = json.loads(RELEASE.read_text("utf-8"))["clean: right reply accepted first time"]
    hits, of = accepted_first_time(trials())
    assert of >= 30
    assert wilson_interval(hits, of)[1] >= release["low"]


def test_nothing_but_the_reply_is_accepted() -> None:
    wrong = [t for t in trials() if t.verdict == Verdict.MATCH.value and t.said != t.expect]
    assert not wrong


def test_no_reply_is_accepted_for_its_contrary() -> None:
    recogniser = embedded()
    bench = Bench(recogniser)
    replies = [r for r in corpora.human_recordings(SPEECH, SHARE) if r.said in corpora.OPPOSITE]
    assert len(replies) >= 20
    for r in replies:
        contrary = corpora.OPPOSITE[r.said]
        other = corpora.CorpusRecording(r.name, r.speaker, corpora.CorpusKind.UNRELATED, r.said,
                                  (contrary, r.said), r.samples)  # fmt: skip
        (trial,) = bench.human([other], None, "contrary")
        assert trial.expect == contrary
        assert trial.verdict != Verdict.MATCH.value, r.name
    recogniser.close()
