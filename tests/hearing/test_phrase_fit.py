"""How a phrase fits an utterance, output by output, and what that decides of longer phrases."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.arithmetic import Floats
from callout.core.model.heard import Heard
from callout.core.understanding.candidate_sets import candidates_for
from callout.hearing.chain.phone_graph import NO_WORD, FreePhones, PhoneGraph
from callout.hearing.chain.phrase_fit import PhraseFit, phrase_fit
from callout.hearing.chain.reading import ChainReader
from callout.hearing.second_opinion.asking import AskingRecogniser
from callout.hearing.second_opinion.longer import (
    CONFIRMING,
    GAINSAYING,
    LongerDecision,
    fit_features,
    written_features,
)
from callout.hearing.second_opinion.published import INSTALL, MODEL, package_file
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate
from callout.speaking.embedded.rendering import FIRST, Renderer
from callout.speaking.embedded.waveform import RATE
from tests.hearing.recordings import embedded, recording

pytestmark = pytest.mark.audio
LOCKED = "demo/closed-and-locked.wav"


@pytest.fixture(scope="module")
def reader() -> ChainReader:
    return ChainReader.shipped()


@pytest.fixture(scope="module")
def asking() -> Iterator[AskingRecogniser]:
    if package_file(MODEL) is None:
        pytest.skip(f"the weights of the second opinion are not installed ({INSTALL})")
    made = AskingRecogniser(embedded())
    yield made
    made.close()


def say(text: str) -> Samples:
    spoken = np.concatenate(list(Renderer.shipped().sentences(f"{text}.", 170, FIRST)))
    return np.round(convert_rate(spoken, RATE, SAMPLE_RATE) * 32_767).astype(np.int16)


def hear(recogniser: AskingRecogniser, sound: Samples, expect: str) -> Heard:
    groups, tables = default_commands().groups(), default_tables()
    recogniser.listen_for(candidates_for(expected_reply([expect], []), groups, tables))
    recogniser.accept(sound)
    return recogniser.decide()


@pytest.mark.parametrize("text", ["closed and locked", "closed and open", "locked"])
def test_its_sum_is_what_the_reading_says(reader: ChainReader, text: str) -> None:
    sound = recording(LOCKED)
    told = reader.read(sound, {text: (text,)})
    fit = reader.fit(sound, (text,))
    assert fit is not None
    assert len(fit.behind) == told.outputs
    assert fit.behind.sum() == pytest.approx(told.phrases[text] - told.free, abs=0.05)
    assert {*fit.words} <= {NO_WORD, *range(len(text.split()))}


def test_every_path_of_a_small_graph_is_tried() -> None:
    """The best of all ways to spread two phones over four outputs, counted out."""
    rng = np.random.default_rng(4)
    context = np.full((30, 30, 2), -1, np.int16)
    context[:, 1] = (0, 1)
    context[:, 11:30] = rng.integers(2, 9, (30, 19, 2))
    for _ in range(20):
        outputs = rng.normal(0.0, 3.0, (4, 9)).astype(np.float32)
        graph = PhoneGraph(context)
        graph.add(0, [[(1, 2)]])
        fit = phrase_fit(graph, FreePhones.of(context), outputs)
        free = FreePhones.of(context).best(outputs)
        best = max(_scores(graph, outputs))
        assert fit.behind.sum() == pytest.approx(best - free, abs=1e-4)


def _scores(graph: PhoneGraph, outputs: Floats) -> Iterator[float]:
    ends = {node for node, _ in graph.ends}
    for way in product(range(len(graph.entered)), repeat=len(outputs)):
        if way[0] not in graph.starts or way[-1] not in ends:
            continue
        total = float(outputs[0, graph.entered[way[0]]])
        for at, (a, b) in enumerate(pairwise(way), 1):
            if a != b and a not in graph.before[b]:
                break
            total += float(outputs[at, graph.stayed[b] if a == b else graph.entered[b]])
        else:
            yield total


def test_the_word_that_was_not_said_fits_worst(reader: ChainReader) -> None:
    sound = recording(LOCKED)
    right, wrong = (reader.fit(sound, (text,)) for text in ("closed and locked", "closed and wide"))
    assert right is not None
    assert wrong is not None
    last = [float(word.mean()) for word in wrong.by_word]
    assert min(last) == last[-1] < min(float(word.mean()) for word in right.by_word) - 0.3
    assert wrong.worst(5) < right.worst(5)


def test_a_word_that_nobody_can_pronounce_has_no_fit(reader: ChainReader) -> None:
    assert reader.fit(recording(LOCKED), ("xqzt",)) is None
    assert reader.fit(np.zeros(0, np.int16), ("on",)) is None


def test_figures_of_a_fit() -> None:
    behind = np.array([-1.0, 0.0, -4.0, -2.0, 0.0, -3.0], np.float32)
    fit = PhraseFit(behind, np.array([NO_WORD, 0, 0, NO_WORD, 1, NO_WORD]))
    assert fit.worst(1) == -4.0
    assert fit.worst(2) == -3.0
    assert fit.worst(9) == pytest.approx(behind.mean())
    assert [word.tolist() for word in fit.by_word] == [[0.0, -4.0], [0.0]]
    assert fit.pauses == (-1.0, -3.0, -2.0)
    assert fit.worst_pause(1) == -3.0
    silent = PhraseFit(behind, np.full(6, NO_WORD))
    assert silent.pauses == (-10.0, 0.0, 0.0)
    assert silent.by_word == ()
    assert np.isfinite(fit_features(silent)).all()


def test_what_was_written_is_compared_with_each_way_to_write_it() -> None:
    ways = {"take off", "takeoff"}
    assert written_features("Takeoff.", ways) == (1.0, 0.0, 0.0)
    assert written_features("take off now", ways)[1:] == (0.0, 1.0)
    assert written_features("", ways)[1] == 1.0


def test_what_is_shipped_names_every_number() -> None:
    shipped = LongerDecision.shipped()
    assert len(shipped.confirming.each) == len(CONFIRMING)
    assert len(shipped.gainsaying.each) == len(GAINSAYING)
    assert 0.0 < shipped.gainsaying.least < shipped.confirming.least < shipped.certain < 1.0


@pytest.mark.parametrize("state", ["in the green", "checked, holding", "briefing complete"])
def test_an_answer_with_another_word_behind_it_is_asked_again(
    asking: AskingRecogniser, state: str
) -> None:
    assert hear(asking, say(state), state).sure
    assert not hear(asking, say(f"{state} not"), state).sure


def test_a_third_that_fails_says_nothing_of_longer_answers(asking: AskingRecogniser) -> None:
    sound, text = recording(LOCKED), "closed and locked"
    strict = replace(LongerDecision.shipped(), certain=2.0)
    never = replace(strict, gainsaying=replace(strict.gainsaying, least=2.0))
    always = AskingRecogniser(embedded(), longer=never)
    assert hear(asking, sound, text).sure
    assert not hear(always, sound, text).sure
    failing = AskingRecogniser(embedded(), longer=never)
    failing._fit = lambda text: None  # type: ignore[method-assign]
    assert hear(failing, sound, text).sure
