"""The third reading: a published chain model on real recordings, with its real weights."""

from __future__ import annotations

import numpy as np
import pytest

from callout.bench.acoustic.conditions import conditions
from callout.hearing.chain.cepstra import COUNT, WINDOW, cepstra
from callout.hearing.chain.phone_graph import FIRST_ID, FreePhones, PhoneGraph, positioned
from callout.hearing.chain.reading import FAINT_PEAK, ChainReader, audible
from callout.hearing.embedded.lexicon import NUMBER, Lexicon
from callout.hearing.second_opinion.third import ThirdDecision
from callout.ports.hearing import Samples
from tests.hearing.recordings import SOUNDS, in_a_room, recording

pytestmark = pytest.mark.audio
WORDS = ("down", "left", "off", "on", "right", "up")
CONTRARY = {"down": "up", "up": "down", "left": "right", "right": "left", "on": "off", "off": "on"}
SURROUNDINGS = {c.name: c for c in conditions([recording("human/coffee.wav")])}


@pytest.fixture(scope="module")
def reader() -> ChainReader:
    return ChainReader.shipped()


def as_phrases(*phrases: str) -> dict[str, tuple[str, ...]]:
    return {phrase: (phrase,) for phrase in phrases}


@pytest.mark.parametrize("word", WORDS)
def test_a_word_stands_above_its_contrary(reader: ChainReader, word: str) -> None:
    told = reader.read(recording(f"human/{word}.wav"), as_phrases(*WORDS)).phrases
    assert max(told, key=lambda phrase: told[phrase]) == word
    assert told[word] - told[CONTRARY[word]] > 3.0


@pytest.mark.parametrize("surrounding", ["vehicle 10 dB", "echo", "far, 3 m"])
def test_it_hears_through_noise_and_rooms(reader: ChainReader, surrounding: str) -> None:
    made = (SURROUNDINGS[surrounding].make(in_a_room(f"human/{word}.wav"), 1) for word in WORDS)
    heard = [reader.read(samples, as_phrases(*WORDS)).phrases for samples in made]
    right = [max(told, key=lambda phrase: told[phrase]) for told in heard]
    assert sum(a == b for a, b in zip(right, WORDS, strict=True)) >= len(WORDS) - 1


@pytest.mark.parametrize("word", WORDS)
def test_a_faint_voice_is_read_as_a_loud_one(reader: ChainReader, word: str) -> None:
    sound = recording(f"human/{word}.wav")
    faint = np.round(sound / np.abs(sound).max() * 300).astype(np.int16)
    told = reader.read(faint, as_phrases(*WORDS)).phrases
    assert max(told, key=lambda phrase: told[phrase]) == word
    assert np.abs(audible(faint)).max() == FAINT_PEAK


@pytest.mark.parametrize("top", [0, FAINT_PEAK, 32767])
def test_silence_and_a_usual_voice_are_read_as_they_are(top: int) -> None:
    sound = np.array([0, -top, top // 2], np.int16)
    assert audible(sound) is sound
    assert len(audible(np.zeros(0, np.int16))) == 0


def test_a_long_reply_stands_above_one_that_differs_in_a_word(reader: ChainReader) -> None:
    sound = recording("demo/locked-and-fastened.wav")
    told = reader.read(sound, as_phrases("locked and fastened", "locked and unfastened"))
    first, second = told.phrases.values()
    assert first > second
    assert told.free >= first - 1.0


@pytest.mark.parametrize("sound", SOUNDS)
def test_noise_fits_no_word_as_well_as_any_phones(reader: ChainReader, sound: str) -> None:
    samples = recording(sound)
    told = reader.read(samples, as_phrases(*WORDS))
    assert all(score <= told.free + 1.0 for score in told.phrases.values())


@pytest.mark.parametrize("count", [0, 1, WINDOW - 1])
def test_too_little_sound_says_nothing(reader: ChainReader, count: int) -> None:
    told = reader.read(np.zeros(count, np.int16), as_phrases("on"))
    assert (told.phrases, told.outputs) == ({}, 0)


def test_the_shortest_sound_is_read(reader: ChainReader) -> None:
    told = reader.read(np.ones(WINDOW, np.int16), as_phrases("on", "off"))
    assert told.outputs == 1
    assert all(np.isfinite(score) for score in told.phrases.values())


def test_a_word_that_nobody_can_pronounce_has_no_score(reader: ChainReader) -> None:
    forms = {"on": ("on",), "both": ("xqzzt", "both"), "none": ("xqzzt on",), "empty": ("",)}
    told = reader.read(recording("human/on.wav"), forms)
    assert set(told.phrases) == {"on", "both"}


def test_several_ways_to_say_it_count_as_the_best_one(reader: ChainReader) -> None:
    sound = recording("human/on.wav")
    alone = reader.read(sound, {"a": ("on",)}).phrases["a"]
    assert reader.read(sound, {"a": ("undamaged", "on")}).phrases["a"] == pytest.approx(alone)


def test_more_phrases_change_no_score(reader: ChainReader) -> None:
    sound = recording("human/left.wav")
    few = reader.read(sound, as_phrases("left")).phrases["left"]
    assert reader.read(sound, as_phrases(*WORDS)).phrases["left"] == pytest.approx(few)


def test_phones_are_numbered_by_their_place_in_the_word() -> None:
    def model(name: str, place: int) -> int:
        return FIRST_ID + 4 * (NUMBER[name] - 1) + place

    (left,) = Lexicon.shipped().word("left")
    assert positioned(left) == [model("L", 0), model("EH", 2), model("F", 2), model("T", 1)]
    assert positioned((NUMBER["AH"],)) == [model("AH", 3)]


def test_the_best_path_is_that_of_a_plain_search() -> None:
    """Every path of a small graph, one by one."""
    rng = np.random.default_rng(5)
    context = np.full((20, 20, 2), -1, np.int16)
    context[:, 1] = (0, 1)
    context[:, 11:20] = rng.integers(2, 9, (20, 9, 2))
    graph = PhoneGraph(context)
    graph.add(0, [[(1,)], [(2,)]])
    outputs = rng.normal(0.0, 3.0, (5, 9)).astype(np.float32)
    (score,) = graph.best(outputs, 1)
    assert score == pytest.approx(_best_of_all(context, [14, 18], outputs), abs=1e-4)


def _best_of_all(context: np.ndarray, words: list[int], outputs: np.ndarray) -> float:
    """Return the best sum over all ways to fill the outputs with pauses and phones in order."""
    ways = [[]]
    for at, phone in enumerate([0, *words]):
        ways = [[*way, *([phone] if at else []), *rest] for way in ways for rest in ([], [1])]
    best = -np.inf
    for way in ways:
        for lengths in _lengths(len(way), len(outputs)):
            total, time, last = 0.0, 0, 0
            for phone, count in zip(way, lengths, strict=True):
                first, following = context[last, phone]
                total += outputs[time, first] + outputs[time + 1 : time + count, following].sum()
                time, last = time + count, phone
            best = max(best, float(total))
    return best


def _lengths(parts: int, whole: int) -> list[tuple[int, ...]]:
    if parts == 1:
        return [(whole,)]
    return [(n, *r) for n in range(1, whole - parts + 2) for r in _lengths(parts - 1, whole - n)]


def test_free_phones_are_no_worse_than_any_phrase() -> None:
    rng = np.random.default_rng(8)
    context = np.full((20, 20, 2), -1, np.int16)
    context[:, 1] = (0, 1)
    context[:, 11:20] = rng.integers(2, 9, (20, 9, 2))
    graph = PhoneGraph(context)
    for number, phone in enumerate((1, 2)):
        graph.add(number, [[(phone,)]])
    for _ in range(20):
        outputs = rng.normal(0.0, 3.0, (6, 9)).astype(np.float32)
        free = FreePhones.of(context).best(outputs)
        assert free >= graph.best(outputs, 2).max() - 1e-4


def test_cepstra_are_those_of_an_independent_library() -> None:
    """kaldi-native-fbank computes the features of the toolkit that the model was trained with."""
    fbank = pytest.importorskip("kaldi_native_fbank", reason="the group weights is not installed")
    options = fbank.MfccOptions()
    options.frame_opts.dither = 0.0
    options.frame_opts.snip_edges = True
    options.mel_opts.num_bins, options.num_ceps = COUNT, COUNT
    options.mel_opts.low_freq, options.mel_opts.high_freq = 20.0, 7600.0
    options.use_energy = False
    online = fbank.OnlineMfcc(options)
    samples: Samples = recording("human/left.wav")
    online.accept_waveform(16_000, samples.astype(np.float32).tolist())
    online.input_finished()
    theirs = np.array([online.get_frame(i) for i in range(online.num_frames_ready)])
    assert np.abs(cepstra(samples) - theirs).max() < 0.02


@pytest.mark.parametrize("word", WORDS)
def test_it_speaks_against_the_contrary_of_what_was_said(reader: ChainReader, word: str) -> None:
    """Unless the first is nearly certain; what was said it leaves alone."""
    shipped = ThirdDecision.shipped()
    told = reader.read(recording(f"human/{word}.wav"), as_phrases(*WORDS))
    doubtful = shipped.certain - 0.01
    assert shipped.opposes(told, CONTRARY[word], doubtful, {word})
    assert not shipped.opposes(told, CONTRARY[word], shipped.certain, {word})
    assert not shipped.opposes(told, word, doubtful, set(WORDS) - {word})
