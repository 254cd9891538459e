"""Utterances are cut out of a stream with the real detector, and its limits with a fake one."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from callout.hearing.segmenter import BLOCK, BLOCK_SECONDS, Cut, Segmenter, SegmenterSettings
from callout.ports.hearing import SAMPLE_RATE, Samples
from tests.hearing.recordings import in_a_room


class Script:
    """A detector that is told what to find: one probability a block, then silence."""

    def __init__(self, probabilities: list[float]) -> None:
        self._left = iter(probabilities)
        self.resets = 0

    def probability(self, block: Samples) -> float:
        assert block.shape == (BLOCK,)
        return next(self._left, 0.0)

    def reset(self) -> None:
        self.resets += 1


def scripted(*runs: tuple[float, int], **settings: float) -> Segmenter:
    """Return a segmenter whose detector gives each probability for so many blocks."""
    made = Segmenter(SegmenterSettings(**settings))  # type: ignore[arg-type]
    made._detector = Script([p for p, blocks in runs for _ in range(blocks)])
    return made


def numbered(count: int) -> Iterator[Samples]:
    """Yield blocks that tell which they are, from 1 on."""
    for i in range(1, count + 1):
        yield np.full(BLOCK, i, np.int16)


def blocks_of(samples: Samples) -> Iterator[Samples]:
    whole = np.pad(samples, (0, -len(samples) % BLOCK))
    for at in range(0, len(whole), BLOCK):
        yield whole[at : at + BLOCK]


def cuts(segmenter: Segmenter, blocks: Iterator[Samples]) -> list[tuple[int, Cut]]:
    """Return what was noticed, with the block's number from 1, up to the first end."""
    found = []
    for number, block in enumerate(blocks, 1):
        cut = segmenter.push(block)
        if cut is not Cut.NONE:
            found.append((number, cut))
        if cut is Cut.ENDED:
            break
    return found


@pytest.mark.parametrize("length", [0, 1, 511, 513, 1024])
def test_a_block_of_another_length_is_refused(length: int) -> None:
    segmenter = Segmenter()
    with pytest.raises(ValueError, match="a block is 512 samples"):
        segmenter.push(np.zeros(length, np.int16))
    assert segmenter.clock == 0.0


@pytest.mark.parametrize("sound", ["sounds/silence.wav", "sounds/tone.wav", "sounds/cabin.wav"])
def test_no_speech_is_nothing(sound: str) -> None:
    segmenter = Segmenter()
    assert cuts(segmenter, blocks_of(in_a_room(sound))) == []
    assert not segmenter.speaking


@pytest.mark.parametrize(
    "name", ["human/on.wav", "human/off.wav", "demo/both-on.wav", "demo/one-zero-one-three.wav"]
)
def test_a_recorded_utterance_is_found_where_it_is(name: str) -> None:
    segmenter = Segmenter()
    samples = in_a_room(name)
    kinds = [cut for _, cut in cuts(segmenter, blocks_of(samples))]
    assert kinds[0] is Cut.STARTED
    assert kinds[-1] is Cut.ENDED
    loud = np.flatnonzero(np.abs(samples) > 0.2 * np.abs(samples).max()) / SAMPLE_RATE
    assert abs(segmenter.started - loud[0]) < 0.3
    assert abs(segmenter.last_speech - loud[-1]) < 0.45
    assert segmenter.started < segmenter.last_speech <= segmenter.clock


@pytest.mark.parametrize("name", ["human/on.wav", "demo/one-zero-one-three.wav"])
def test_pieces_taken_on_the_way_are_the_utterance_taken_at_its_end(name: str) -> None:
    samples = in_a_room(name)
    pieces: list[Samples] = []
    often, once = Segmenter(), Segmenter()
    for block in blocks_of(samples):
        cut = often.push(block)
        assert once.push(block) is cut
        if often.speaking:
            pieces.append(often.fresh())
        if cut is Cut.ENDED:
            break
    whole = once.fresh()
    joined = np.concatenate(pieces)
    assert len(whole) > BLOCK
    # Taken as they come they may hold a little more of the silence, never less of the speech.
    assert np.array_equal(joined[: len(whole)], whole)
    assert len(joined) - len(whole) <= round(0.2 / BLOCK_SECONDS) * BLOCK
    assert not len(once.fresh())


def test_the_utterance_has_a_little_before_and_after_it() -> None:
    segmenter = scripted((0.0, 30), (0.9, 5))
    for block in numbered(35 + 13):
        cut = segmenter.push(block)
    assert cut is Cut.ENDED
    kept = segmenter.fresh()[::BLOCK].tolist()
    before, after = round(0.32 / BLOCK_SECONDS), round(0.2 / BLOCK_SECONDS)
    assert kept == list(range(31 - before, 35 + after + 1))


def test_nothing_comes_after_it_has_settled() -> None:
    segmenter = scripted((0.9, 5))
    settled, whole = [], []
    for number, block in enumerate(numbered(18), 1):
        cut = segmenter.push(block)
        whole.append(segmenter.fresh())
        if segmenter.settled:
            settled.append(number)
            assert segmenter.silence < segmenter.settings.early_silence
        if cut is Cut.ENDED:
            break
    assert cut is Cut.ENDED
    assert settled == [11]
    assert not np.concatenate(whole[11:]).size


def test_speech_from_the_very_first_block() -> None:
    segmenter = scripted((0.9, 3))
    assert segmenter.push(np.ones(BLOCK, np.int16)) is Cut.STARTED
    assert segmenter.started == 0.0
    assert segmenter.fresh().tolist() == [1] * BLOCK


@pytest.mark.parametrize(
    ("patient", "silent_blocks"),
    [(False, round(0.416 / BLOCK_SECONDS)), (True, round(0.64 / BLOCK_SECONDS))],
)
def test_a_number_is_waited_for_longer(patient: bool, silent_blocks: int) -> None:
    """Both silences are exact multiples of a block: 13 and 22 blocks, not one more."""
    segmenter = scripted((0.0, 4), (0.9, 10))
    segmenter.patient = patient
    found = cuts(segmenter, numbered(100))
    stages = (0.256, 0.416) if patient else (0.256,)
    pauses = [(14 + round(s / BLOCK_SECONDS), Cut.PAUSED) for s in stages]
    assert found == [(5, Cut.STARTED), *pauses, (14 + silent_blocks, Cut.ENDED)]


def test_a_short_gap_does_not_end_it_and_may_pause_it_again() -> None:
    segmenter = scripted((0.9, 5), (0.1, 9), (0.9, 5))
    found = cuts(segmenter, numbered(60))
    assert [cut for _, cut in found] == [Cut.STARTED, Cut.PAUSED, Cut.PAUSED, Cut.ENDED]
    assert found[-1][0] == 5 + 9 + 5 + 13


def test_half_sure_blocks_go_on_but_do_not_begin() -> None:
    assert cuts(scripted((0.39, 50)), numbered(60)) == []
    assert cuts(scripted((0.41, 1), (0.36, 20)), numbered(60))[-1] == (1 + 20 + 13, Cut.ENDED)


def test_speech_must_last_for_as_many_blocks_as_set() -> None:
    runs = [(0.9, 2), (0.0, 1)] * 5
    assert cuts(scripted(*runs, start_blocks=3), numbered(20)) == []
    segmenter = scripted((0.0, 2), (0.9, 3), start_blocks=3)
    assert cuts(segmenter, numbered(5)) == [(5, Cut.STARTED)]
    assert segmenter.started == pytest.approx(2 * BLOCK_SECONDS)


@pytest.mark.parametrize("longest", [1.0, 1.024, 12.0])
def test_endless_speech_is_cut(longest: float) -> None:
    segmenter = scripted((0.9, 1000), longest=longest)
    found = cuts(segmenter, numbered(1000))
    assert found == [(1, Cut.STARTED), (int(np.ceil(longest / BLOCK_SECONDS)), Cut.ENDED)]
    assert len(segmenter.fresh()) / SAMPLE_RATE == pytest.approx(longest, abs=BLOCK_SECONDS)


def test_reset_forgets_all_but_the_time() -> None:
    segmenter = scripted((0.9, 5))
    for block in numbered(5):
        segmenter.push(block)
    segmenter.reset()
    assert not segmenter.speaking
    assert not len(segmenter.fresh())
    assert segmenter._detector.resets == 1
    assert segmenter.clock == pytest.approx(5 * BLOCK_SECONDS)
    assert segmenter.started == segmenter.last_speech == segmenter.clock


def faint(samples: Samples, decibels: float) -> Samples:
    """Return samples that peak at ``decibels`` of full scale, in the hiss of a 16-bit device."""
    voice = samples / np.abs(samples).max() * 32768 * 10 ** (decibels / 20)
    hiss = np.random.default_rng(len(samples)).normal(0.0, 0.7, len(samples))
    return np.asarray(np.rint(voice + hiss).astype(np.int16))


@pytest.mark.parametrize("decibels", [-40, -50])
@pytest.mark.parametrize("name", ["human/on.wav", "human/off.wav", "human/left.wav"])
def test_a_faint_voice_is_found_where_it_is_and_handed_on_as_it_came(
    name: str, decibels: int
) -> None:
    usual, quiet = Segmenter(), Segmenter()
    samples = faint(in_a_room(name), decibels)
    kinds = [cut for _, cut in cuts(usual, blocks_of(in_a_room(name)))]
    assert [cut for _, cut in cuts(quiet, blocks_of(samples))] == kinds
    assert abs(quiet.started - usual.started) < 0.2
    assert abs(quiet.last_speech - usual.last_speech) < 0.2
    assert np.abs(quiet.fresh()).max() == np.abs(samples).max()


@pytest.mark.parametrize("decibels", [-40, -60])
@pytest.mark.parametrize("sound", ["sounds/tone.wav", "sounds/cabin.wav", "sounds/keys.wav"])
def test_faint_sounds_without_speech_are_nothing(sound: str, decibels: int) -> None:
    assert cuts(Segmenter(), blocks_of(faint(in_a_room(sound), decibels))) == []
