"""A search that sets aside what is far behind decides as one that follows everything."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.arithmetic import product
from callout.core.understanding.candidate_sets import candidates_for
from callout.hearing.embedded.near_search import NearScores, score_near
from callout.hearing.embedded.network import END
from callout.hearing.embedded.opinions import NEARLY, Opinion, certainty, judged_alone
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.embedded.scoring import FLOOR, Scores, Tokens, score_phrases
from tests.hearing.recordings import WORDS, embedded, recording
from tests.hearing.test_scoring import BATCHED, SEQUENCES, Table

pytestmark = pytest.mark.audio

ENDS = (END, 6)
HEARD = [n for n, words in WORDS.items() if words and n.startswith(("demo/", "human/"))]
EXPECTED = ("1013", "on", "closed and locked")


@pytest.fixture(scope="module")
def recogniser() -> Iterator[EmbeddedRecogniser]:
    made = embedded()
    yield made
    made.close()


def both_ways(
    phrases: set[Tokens], near: float, prune: float
) -> tuple[NearScores, Scores, Scores, tuple[int, int]]:
    """Return what is near, with the rest, and all at once; and the steps of the first and last."""
    table, once = Table(), Table()
    found = score_near(table, None, table.rows([()]), phrases, ENDS, near, prune)  # type: ignore[arg-type]
    first = table.steps
    whole = found.whole(table, None, ENDS, prune)  # type: ignore[arg-type]
    full = score_phrases(once, None, once.rows([()]), phrases, ENDS, prune)  # type: ignore[arg-type]
    return found, whole, full, (first, once.steps)


@settings(max_examples=300, deadline=None)
@given(st.sets(SEQUENCES, min_size=1, max_size=25), st.floats(0.2, 6.0), st.floats(0.2, 6.0))
def test_gone_on_with_it_ends_like_a_search_that_sets_nothing_aside(
    phrases: set[Tokens], near: float, more: float
) -> None:
    found, whole, full, (first, once) = both_ways(phrases, near, near + more)
    assert whole.phrases == pytest.approx(full.phrases, abs=1e-9)
    assert (whole.free, whole.free_score) == (full.free, pytest.approx(full.free_score))
    assert first <= once
    most = found.most([{p} for p in phrases]).phrases
    for phrase, score in full.phrases.items():
        assert score <= most[phrase] + 1e-9
        near_end = found.least.phrases[phrase]
        assert near_end == FLOOR or score in (FLOOR, pytest.approx(near_end))
    together = found.most([phrases])
    assert (
        _sum(together.phrases) >= _sum({p: s for p, s in full.phrases.items() if s > FLOOR}) - 1e-9
    )


def _sum(scores: dict[Tokens, float]) -> float:
    return float(np.logaddexp.reduce([*scores.values(), -1e9]))


def test_what_is_set_aside_has_a_bound_and_no_end() -> None:
    phrases = {(a, b, c) for a in range(3, 7) for b in range(3, 7) for c in range(3, 7)}
    found, _, full, _ = both_ways(phrases, 1.0, 30.0)
    aside = {p for p in phrases if any(p[:n] in found.bounds for n in (1, 2, 3))}
    assert 0 < len(aside) < len(phrases)
    assert {found.least.phrases[p] for p in aside} == {FLOOR}
    assert all(found.least.phrases[p] == pytest.approx(full.phrases[p]) for p in phrases - aside)


def decided(recogniser: EmbeddedRecogniser, opinion: Opinion) -> tuple[str, float, bool]:
    among, decision = recogniser.phrases, recogniser._decision
    judged = judged_alone(decision, opinion, among)
    return judged.text, *certainty(decision, opinion, among, judged, 0.0)


@pytest.mark.parametrize("place", range(len(EXPECTED)))
def test_a_recording_is_decided_as_if_nothing_were_set_aside(
    recogniser: EmbeddedRecogniser, place: int
) -> None:
    groups = default_commands().groups()
    wanted = candidates_for(expected_reply([EXPECTED[place]], []), groups, default_tables())
    recogniser.listen_for(wanted)
    settled = 0
    for name in HEARD[place::2]:
        quick = recogniser.considered(recording(name))
        seen = recogniser._impression
        full = recogniser.opinion(recording(name))
        assert quick is not None
        assert full is not None
        assert seen is not None
        (text, chance, sure), (also, best, too) = (decided(recogniser, o) for o in (quick, full))
        assert (text, sure, quick.reading.text) == (also, too, full.reading.text), name
        if seen.near is None:
            assert chance == pytest.approx(best, abs=BATCHED)
        else:  # some were not followed to their end, since that cannot matter
            assert sure
            assert min(chance, best) >= NEARLY
            settled += 1
    assert settled > 0


@pytest.mark.parametrize("rows", [1, 2, 3, 8, 12, 13, 40])
@pytest.mark.parametrize("size", [(96, 288), (97, 288), (288, 1152)])
def test_a_product_of_few_rows_is_the_product(rows: int, size: tuple[int, int]) -> None:
    chance = np.random.default_rng(rows)
    weight = chance.normal(size=size).astype(np.float32)
    x = chance.normal(size=(rows, size[1])).astype(np.float32)
    wanted = x.astype(np.float64) @ weight.astype(np.float64).T
    assert np.abs(product(x, weight) - wanted).max() < 1e-3
    place = np.full((size[0], rows), np.nan, np.float32)
    found = product(x, weight, place)
    assert np.shares_memory(found, place)
    assert np.array_equal(found, place.T)
    assert np.abs(place.T - wanted).max() < 1e-3
