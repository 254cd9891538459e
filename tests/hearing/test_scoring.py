"""The prefix tree gives each phrase the score it has on its own; the free decode is apart."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.errors import CalloutError
from callout.hearing.embedded.network import (
    END,
    Encoded,
    Network,
    Rows,
    select_rows,
)
from callout.hearing.embedded.scoring import FLOOR, FREE_TOKENS, Scores, Tokens, score_phrases
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.weights import Weights
from callout.hearing.framing import frame_samples
from tests.hearing.recordings import recording

pytestmark = pytest.mark.audio

RECORDED = ("human/on.wav", "demo/one-zero-one-three.wav", "demo/closed-and-locked.wav")
TEXTS = (
    "on", "On", "off", "one", "one zero", "one zero one three", "One zero one three", "1013",
    "1 0 1 3", "closed", "closed and locked", "closed and latched", "both on", "both off",
)  # fmt: skip
NEVER = 1e9
BATCHED = 2e-3
"""32-bit sums in another order: company in the batch moves a score by no more than this."""


class Table:
    """A network of seven tokens whose probabilities hang on the prefix alone, exactly."""

    def __init__(self) -> None:
        self.steps = 0

    def rows(self, prefixes: list[Tokens]) -> Rows:
        logits = [np.random.default_rng([9, *p]).normal(0, 1.5, 7) for p in prefixes]
        probs = [np.log(np.exp(x) / np.exp(x).sum()) for x in logits]
        longest = np.array([[*p] for p in prefixes]).reshape(len(prefixes), -1)
        return Rows(np.array(probs), ((longest, longest),))

    def step(self, encoded: Encoded, tokens: list[int], rows: Rows) -> Rows:
        self.steps += 1
        before = rows.cache[0][0].tolist()
        return self.rows([(*p, t) for p, t in zip(before, tokens, strict=True)])


def exact(phrases: set[Tokens], prune: float = NEVER) -> tuple[Scores, Table]:
    table = Table()
    found = score_phrases(table, None, table.rows([()]), phrases, (END, 6), prune)  # type: ignore[arg-type]
    return found, table


def by_chain_rule(tokens: Tokens) -> float:
    table = Table()
    steps = [table.rows([tokens[:i]]).log_probs[0] for i in range(len(tokens) + 1)]
    total = sum(float(at[t]) for at, t in zip(steps, tokens, strict=False))
    return total + float(np.log(np.exp(steps[-1][END]) + np.exp(steps[-1][6])))


SEQUENCES = st.lists(st.integers(3, 6), min_size=1, max_size=5).map(tuple)


@settings(deadline=None)
@given(st.sets(SEQUENCES, max_size=12))
def test_the_tree_is_exact(phrases: set[Tokens]) -> None:
    found, table = exact(phrases)
    assert set(found.phrases) == phrases
    for tokens in phrases:
        assert found.phrases[tokens] == pytest.approx(by_chain_rule(tokens), abs=1e-6)
    none, _ = exact(set())
    assert (found.free, found.free_score) == (none.free, pytest.approx(none.free_score))
    longest = max((len(p) for p in phrases), default=0)
    assert table.steps <= max(longest, FREE_TOKENS)


@settings(deadline=None)
@given(st.sets(SEQUENCES, min_size=1, max_size=12), st.floats(0.5, 8))
def test_pruning_never_changes_a_score_that_it_keeps(phrases: set[Tokens], prune: float) -> None:
    found, _ = exact(phrases, prune)
    for tokens, value in found.phrases.items():
        assert value == FLOOR or value == pytest.approx(by_chain_rule(tokens), abs=1e-6)
    assert exact(phrases)[0].free == found.free


@pytest.fixture(scope="module")
def network() -> Network:
    try:
        return Network(Weights.shipped())
    except CalloutError as error:
        pytest.skip(f"{error.message} {error.hint}")


@cache
def tokenizer() -> Tokenizer:
    return Tokenizer.from_bytes(Weights.shipped().tokens)


def phrases() -> dict[str, Tokens]:
    return {text: tokenizer().encode(text) for text in TEXTS}


@pytest.fixture(scope="module", params=RECORDED)
def heard(network: Network, request: pytest.FixtureRequest) -> tuple[Encoded, Rows]:
    return network.encode(frame_samples(recording(request.param)))


def alone(
    network: Network, heard: tuple[Encoded, Rows], tokens: Tokens, ends: tuple[int, ...]
) -> float:
    """Return the log-likelihood of one phrase by the chain rule, one token after the other."""
    encoded, rows = heard
    total = 0.0
    for token in tokens:
        total += float(rows.log_probs[0, token])
        rows = network.step(encoded, [token], rows)
    return total + float(np.log(np.exp(rows.log_probs[0, list(ends)].astype(np.float64)).sum()))


def test_each_phrase_scores_as_it_does_alone(network: Network, heard: tuple[Encoded, Rows]) -> None:
    stop = tokenizer().encode("on.")[-1]
    for ends in ((END,), (END, stop)):
        found = score_phrases(network, *heard, set(phrases().values()), ends, prune=NEVER)
        for text, tokens in phrases().items():
            wanted = alone(network, heard, tokens, ends)
            assert found.phrases[tokens] == pytest.approx(wanted, abs=BATCHED), text


def test_a_batch_of_equals_scores_as_one(network: Network, heard: tuple[Encoded, Rows]) -> None:
    """So what company changes is rounding, not one prefix leaking into another."""
    encoded, root = heard
    token = int(root.log_probs[0].argmax())
    one = network.step(encoded, [token], root)
    three = network.step(encoded, [token] * 3, select_rows(root, [0, 0, 0]))
    for row in three.log_probs:
        assert row == pytest.approx(one.log_probs[0], abs=1e-3)


def test_pruning_drops_only_what_is_far_behind(
    network: Network, heard: tuple[Encoded, Rows]
) -> None:
    wanted = set(phrases().values())
    full = score_phrases(network, *heard, wanted, prune=NEVER).phrases
    pruned = score_phrases(network, *heard, wanted).phrases
    best = max(full, key=lambda p: full[p])
    assert pruned[best] == pytest.approx(full[best], abs=BATCHED)
    for tokens in wanted:
        if pruned[tokens] == FLOOR:
            assert full[tokens] < full[best]
        else:
            assert pruned[tokens] == pytest.approx(full[tokens], abs=BATCHED)


def test_the_free_transcript_does_not_depend_on_the_phrases(
    network: Network, heard: tuple[Encoded, Rows]
) -> None:
    """Save for a choice between two tokens that rounding alone decides."""
    none = score_phrases(network, *heard, set())
    assert none.phrases == {}
    for wanted in ({phrases()["off"]}, set(phrases().values())):
        found = score_phrases(network, *heard, wanted)
        if found.free == none.free:
            assert found.free_score == pytest.approx(none.free_score, abs=BATCHED)
        else:
            assert choice_between(network, heard, none.free, found.free) < BATCHED


def choice_between(
    network: Network, heard: tuple[Encoded, Rows], one: list[int], other: list[int]
) -> float:
    """Return by how much the two tokens at which transcripts part differ in log-probability."""
    encoded, rows = heard
    for a, b in zip([*one, END], [*other, END], strict=False):
        if a != b:
            return abs(float(rows.log_probs[0, a] - rows.log_probs[0, b]))
        rows = network.step(encoded, [a], rows)
    raise AssertionError("the transcripts do not part")


def test_the_free_transcript_has_the_score_of_its_own_tokens(
    network: Network, heard: tuple[Encoded, Rows]
) -> None:
    found = score_phrases(network, *heard, set())
    assert 0 < len(found.free) < FREE_TOKENS
    wanted = alone(network, heard, tuple(found.free), (END,))
    assert found.free_score == pytest.approx(wanted, abs=BATCHED)


def test_what_was_said_is_likelier_than_what_was_not(network: Network) -> None:
    encoded, root = network.encode(frame_samples(recording("demo/closed-and-locked.wav")))
    ways = [tokenizer().encode(t) for t in ("Closed and locked", "Open and locked")]
    found = score_phrases(network, encoded, root, set(ways), prune=NEVER).phrases
    assert found[ways[0]] > found[ways[1]] + 2


def test_an_empty_phrase_is_no_phrase(network: Network, heard: tuple[Encoded, Rows]) -> None:
    assert score_phrases(network, *heard, {()}).phrases == {(): FLOOR}


def test_scores_are_log_probabilities(network: Network, heard: tuple[Encoded, Rows]) -> None:
    found = score_phrases(network, *heard, set(phrases().values()), prune=NEVER)
    assert all(value <= 0.0 for value in found.phrases.values())
    assert sum(np.exp(value) for value in found.phrases.values()) <= 1.0 + 1e-6
    assert np.exp(heard[1].log_probs.astype(np.float64)).sum() == pytest.approx(1.0, abs=1e-4)
