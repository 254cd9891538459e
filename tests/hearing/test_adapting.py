"""Fitting the phone reading to a person's takes."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from callout.hearing.embedded.adapting import OtherWords, SpokenTake, _loss_gradient, fit_probe
from callout.hearing.embedded.ctc import phone_occupancies
from callout.hearing.embedded.enrolled import is_learnt, learn_change
from callout.hearing.embedded.lexicon import Lexicon, Phones
from callout.hearing.embedded.phone_probe import Floats, PhoneProbe, phrase_scores
from callout.hearing.voices import Voice, VoiceTake, keep_voice, load_voice

WORDS = ("on", "off", "seven", "three", "zero", "closed", "on")
FRAMES = (30, 25, 44, 31, 60, 20, 12)


@cache
def shipped() -> PhoneProbe:
    return PhoneProbe.shipped()


@cache
def said() -> tuple[Phones, ...]:
    lexicon = Lexicon.shipped()
    return tuple(lexicon.phrase(word)[0] for word in WORDS)


@cache
def takes() -> tuple[Floats, ...]:
    rng = np.random.default_rng(4)
    return tuple(rng.normal(0.0, 1.0, (n, 288)).astype(np.float32) for n in FRAMES)


def read_all() -> Floats:
    padded = np.zeros((len(FRAMES), max(FRAMES), len(shipped().weights["o.bias"])), np.float32)
    for row, frames in enumerate(takes()):
        padded[row, : len(frames)] = shipped().read(frames)
    return padded


def loss(probe: PhoneProbe) -> float:
    parts = (
        -float(phrase_scores(probe.read(frames).astype(np.float64), [phones])[0]) / len(phones)
        for frames, phones in zip(takes(), said(), strict=True)
    )
    return sum(parts) / len(FRAMES)


def test_every_frame_is_shared_out_whole_and_padding_not_at_all() -> None:
    shares = phone_occupancies(read_all(), FRAMES, said())
    for row, (frames, phones) in enumerate(zip(FRAMES, said(), strict=True)):
        assert shares[row, :frames].sum(axis=1) == pytest.approx(1.0, abs=1e-4)
        assert not shares[row, frames:].any()
        assert set(np.flatnonzero(shares[row].sum(axis=0))) <= {0, *phones}


def test_phones_that_do_not_fit_share_nothing() -> None:
    short = np.zeros((1, 2, 40), np.float32)
    assert not phone_occupancies(short, [2], [(1, 2, 3)]).any()


@pytest.mark.parametrize("layer", ["o.weight", "c2.bias", "c2.weight", "c.weight", "ln.weight"])
def test_the_slope_is_that_of_the_forward_algorithm(layer: str) -> None:
    """Against differences of ``phrase_scores``, which sums over alignments on its own."""
    slope = _loss_gradient(shipped().weights, list(zip(takes(), said(), strict=True)))[layer]
    rng = np.random.default_rng(1)
    way = rng.normal(0.0, 1.0, slope.shape)
    way /= np.linalg.norm(way)
    step = 0.01
    values = shipped().weights[layer]
    there, back = (
        loss(PhoneProbe({**shipped().weights, layer: (values + s * way).astype(np.float32)}))
        for s in (step, -step)
    )
    assert float((slope * way).sum()) == pytest.approx(
        (there - back) / (2 * step), rel=0.03, abs=2e-3
    )


def test_the_slope_is_that_of_the_library_it_was_trained_with() -> None:
    torch = pytest.importorskip("torch")
    from callout.bench.fitting.phone_training import untrained_network

    net = untrained_network()
    net.load_state_dict({k: torch.from_numpy(v) for k, v in shipped().weights.items()})
    net.eval()
    total = sum(
        torch.nn.functional.ctc_loss(
            net(torch.from_numpy(frames)[None]).transpose(0, 1),
            torch.tensor(phones)[None],
            torch.tensor([len(frames)]),
            torch.tensor([len(phones)]),
            reduction="sum",
        )
        / len(phones)
        for frames, phones in zip(takes(), said(), strict=True)
    )
    (total / len(FRAMES)).backward()
    found = _loss_gradient(shipped().weights, list(zip(takes(), said(), strict=True)))
    for name, values in net.named_parameters():
        assert found[name] == pytest.approx(values.grad.numpy(), abs=1e-4)


def test_a_few_steps_make_what_was_said_likelier_and_come_out_the_same() -> None:
    spoken = [SpokenTake(f, (p,)) for f, p in zip(takes(), said(), strict=True)]
    after = fit_probe(shipped(), spoken, steps=8)
    assert loss(after) < 0.8 * loss(shipped())
    again = fit_probe(shipped(), spoken, steps=8)
    assert all(np.array_equal(after.weights[n], again.weights[n]) for n in after.weights)


def test_nothing_to_learn_from_changes_nothing() -> None:
    assert fit_probe(shipped(), []) is shipped()
    assert fit_probe(shipped(), [SpokenTake(takes()[0], ())]) is shipped()
    assert fit_probe(shipped(), [SpokenTake(takes()[0][:3], (said()[2],))]) is shipped()


def test_what_was_learnt_is_kept_with_the_voice_and_belongs_to_one_reading(tmp_path: Path) -> None:
    rows = zip(WORDS, takes(), strict=True)
    voice = Voice("Ada", tuple(VoiceTake(w, f, np.zeros(19, np.float32)) for w, f in rows))
    assert not is_learnt(voice, shipped())
    known = learn_change(voice)
    keep_voice(known, tmp_path)
    back = load_voice("Ada", tmp_path)
    assert is_learnt(back, shipped())
    assert not is_learnt(replace(back, moved_from="another"), shipped())
    for name, move in known.moves.items():
        assert back.moves[name] == pytest.approx(move, abs=2e-5)


def test_other_words_are_not_forgotten() -> None:
    """The loss on them stays where it was, and grows when only the takes are learnt."""
    lexicon, other = Lexicon.shipped(), OtherWords.shipped()
    rows = zip(other.frames, other.texts, strict=True)
    others = [SpokenTake(frames, lexicon.phrase(text)) for frames, text in rows]
    spoken = [SpokenTake(f, (p,)) for f, p in zip(takes(), said(), strict=True)]

    def unlikely(probe: PhoneProbe) -> float:
        return -sum(float(phrase_scores(probe.read(o.frames), o.ways).max()) for o in others)

    before = unlikely(shipped())
    assert unlikely(fit_probe(shipped(), spoken, others)) < 1.02 * before
    assert unlikely(fit_probe(shipped(), spoken)) > 1.05 * before


def test_other_words_come_back_as_kept_to_eight_bits(tmp_path: Path) -> None:
    other = OtherWords.shipped()
    assert len(other.texts) == len(other.frames) == 128
    other.keep(tmp_path / "again.npz")
    assert (tmp_path / "again.npz").stat().st_size < 2_000_000
    assert max(len(frames) for frames in other.frames) <= 56


def test_two_people_move_the_reading_by_the_mean_of_both() -> None:
    one = {name: np.ones_like(values) for name, values in shipped().weights.items()}
    none = {name: np.zeros_like(values) for name, values in one.items()}
    both = shipped().moved([one, none])
    assert both.weights["o.bias"] == pytest.approx(shipped().weights["o.bias"] + 0.5)
    assert shipped().moved([]) is shipped()
