"""From blocks to utterances: what the recogniser is given and when it is asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np
import pytest

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.core.model.expectation import Value, ValueKind
from callout.core.model.heard import Heard
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE, Samples
from tests.hearing.recordings import in_a_room, listening_for

NUMBER = Candidate("1013", CandidateRole.ACCEPTED, ("one zero one three",), (Value(Decimal(1013)),))


@dataclass
class Listener:
    """A recogniser that keeps what it is given and is as sure early as it is told."""

    name: str = "listener"
    sure_early: bool = False
    early: str = "early"
    written: str = ""
    given: list[Samples] = field(default_factory=list)
    decided: list[Samples] = field(default_factory=list)
    guesses: int = 0
    closed: bool = False

    def listen_for(self, candidates: CandidateSet) -> None:
        self.reset()

    def accept(self, samples: Samples) -> None:
        self.given.append(samples)

    def guess(self) -> Heard:
        self.guesses += 1
        if self.sure_early:
            self.decided.append(np.concatenate(self.given))
        return Heard(self.early, self.written, sure=self.sure_early)

    def decide(self) -> Heard:
        self.decided.append(np.concatenate(self.given))
        self.reset()
        return Heard("late", sure=True)

    def reset(self) -> None:
        self.given = []

    def unknown_words(self, words: Iterable[str]) -> tuple[str, ...]:
        return ()

    def close(self) -> None:
        self.closed = True


def turned(sure_early: bool = False, *candidates: Candidate) -> tuple[Turns, Listener]:
    listener = Listener(sure_early=sure_early)
    turns = Turns(Segmenter(), listener)
    turns.listen_for(CandidateSet("item", candidates) if candidates else listening_for("on"))
    return turns, listener


def blocks(samples: Samples, size: int = BLOCK) -> Iterator[Samples]:
    for at in range(0, len(samples), size):
        yield samples[at : at + size]


def padded(name: str, extra: int = 0) -> Samples:
    samples = in_a_room(name)
    return np.pad(samples, (0, -len(samples) % BLOCK + extra))


@pytest.mark.parametrize("length", [0, 1, BLOCK - 1, BLOCK, 4 * BLOCK, 20 * BLOCK + 7])
def test_silence_brings_nothing(length: int) -> None:
    turns, listener = turned()
    assert hear_all(blocks(np.zeros(length, np.int16)), turns) == []
    assert listener.decided == []


@pytest.mark.parametrize("extra", [0, 1, BLOCK - 1])
@pytest.mark.parametrize("name", ["human/on.wav", "demo/both-on.wav"])
def test_one_utterance_is_heard_once_and_whole(name: str, extra: int) -> None:
    """Also when the recording is an exact multiple of the block."""
    turns, listener = turned()
    samples = padded(name, extra)
    heard = hear_all(blocks(samples), turns)
    assert [h.text for h in heard] == ["late"]
    assert heard[0].waited == pytest.approx(0.416, abs=0.001)
    (given,) = listener.decided
    assert np.array_equal(turns.sound, given), "what is kept is what the recogniser was given"
    loud = np.flatnonzero(np.abs(samples) > 0.2 * np.abs(samples).max())
    start = _place(given, samples)
    assert start <= loud[0]
    assert start + len(given) >= loud[-1]


def _place(piece: Samples, whole: Samples) -> int:
    """Return where ``piece`` stands in ``whole``; fails if it is not there sample for sample."""
    for at in range(0, len(whole) - len(piece) + 1, BLOCK):
        if np.array_equal(whole[at : at + len(piece)], piece):
            return at
    raise AssertionError("what was given is not a piece of the recording")


def test_a_sure_early_opinion_ends_it_sooner() -> None:
    turns, listener = turned(True)
    (heard,) = hear_all(blocks(padded("human/on.wav")), turns)
    assert heard.text == "early"
    assert heard.waited == pytest.approx(0.256, abs=0.001)
    assert listener.given == []


FLAPS = Candidate("flaps 1", CandidateRole.ACCEPTED, ("flaps one",), (Value(Decimal(1)),))
HEADING = Candidate(
    "heading 005", CandidateRole.ACCEPTED, ("zero zero five",), (Value(Decimal(5), digits=3),)
)


THOUSANDS = Candidate("4000 ft", CandidateRole.ACCEPTED, ("four thousand",), (
    Value(Decimal(4000), "ft"),))  # fmt: skip
RADIO = Candidate("118.7", CandidateRole.ACCEPTED, ("one one eight decimal seven",), (
    Value(Decimal("118.7"), "MHz", kind=ValueKind.FREQUENCY),))  # fmt: skip


def level(number: int) -> Candidate:
    value = Value(Decimal(number), kind=ValueKind.FLIGHT_LEVEL)
    return Candidate(f"FL{number}", CandidateRole.ACCEPTED, ("flight level",), (value,))


@pytest.mark.parametrize(
    ("number", "waited"),
    [
        (NUMBER, 0.416),
        (HEADING, 0.416),
        (FLAPS, 0.64),
        (THOUSANDS, 0.64),
        (RADIO, 0.64),
        (level(270), 0.416),
        (level(27), 0.64),
    ],
)
def test_a_long_number_that_is_complete_and_sure_is_not_waited_for(
    number: Candidate, waited: float
) -> None:
    """A short one may go on: "flaps one" may become "flaps one five"."""
    turns, listener = turned(True, number)
    listener.early = number.text
    (heard,) = hear_all(blocks(padded("demo/one-zero-one-three.wav")), turns)
    assert heard.text == (number.text if waited < 0.5 else "late")
    assert heard.waited == pytest.approx(waited, abs=0.001)


@pytest.mark.parametrize(("sure", "text"), [(False, "1013"), (True, "101"), (True, "")])
def test_a_number_that_is_doubtful_or_another_is_waited_for(sure: bool, text: str) -> None:
    turns, listener = turned(sure, NUMBER)
    listener.early = text
    (heard,) = hear_all(blocks(padded("demo/one-zero-one-three.wav")), turns)
    assert heard.text == "late"
    assert heard.waited == pytest.approx(0.64, abs=0.001)


@pytest.mark.parametrize(
    ("written", "waited"),
    [
        ("2,400 RPM.", 0.416),
        ("Two thousand four hundred r p m set.", 0.416),
        ("2400", 0.64),
        ("Two thousand four hundred", 0.64),
        ("R p m two thousand four hundred", 0.64),
    ],
)
def test_a_number_that_ends_with_its_unit_is_not_waited_for(written: str, waited: float) -> None:
    """The number alone might go on: "two thousand four hundred fifty"."""
    forms = ("two thousand four hundred r p m", "two thousand four hundred r p m set",
             "two thousand four hundred")  # fmt: skip
    value = Value(Decimal(2400))
    turns, listener = turned(True, Candidate("2400 rpm", CandidateRole.ACCEPTED, forms, (value,)))
    listener.early, listener.written = "2400 rpm", written
    (heard,) = hear_all(blocks(padded("human/on.wav")), turns)
    assert heard.waited == pytest.approx(waited, abs=0.001)


def test_a_unit_that_is_written_in_another_way_ends_a_number() -> None:
    forms = ("sixty five knots", "sixty five")
    turns, listener = turned(
        True, Candidate("65 kt", CandidateRole.ACCEPTED, forms, (Value(Decimal(65), "kt"),))
    )
    listener.early, listener.written = "65 kt", "The sixty-five nuts."
    (heard,) = hear_all(blocks(padded("human/on.wav")), turns)
    assert heard.waited == pytest.approx(0.416, abs=0.001)


@pytest.mark.parametrize(
    ("other", "waited"),
    [
        (("standard set",), 0.64),
        (("standard one zero one three",), 0.64),
        (("standardised", "the standard"), 0.256),
    ],
)
def test_a_word_where_a_number_may_be_said_is_over_unless_something_begins_with_it(
    other: tuple[str, ...], waited: float
) -> None:
    word = Candidate("standard", CandidateRole.ACCEPTED, ("standard",))
    turns, listener = turned(
        True, word, NUMBER, Candidate("other", CandidateRole.CONTRAST, other, NUMBER.values)
    )
    listener.early = "standard"
    (heard,) = hear_all(blocks(padded("human/on.wav")), turns)
    assert heard.waited == pytest.approx(waited, abs=0.001)


def test_a_number_without_a_value_may_go_on_as_well() -> None:
    word = Candidate("only one", CandidateRole.ACCEPTED, ("only one",))
    turns, listener = turned(True, word, NUMBER)
    listener.early = word.text
    (heard,) = hear_all(blocks(padded("human/on.wav")), turns)
    assert heard.waited == pytest.approx(0.64, abs=0.001)


def test_a_number_that_is_not_expected_is_not_waited_for() -> None:
    wrong = Candidate(NUMBER.text, CandidateRole.WRONG, NUMBER.forms, NUMBER.values)
    turns, _ = turned(False, Candidate("on", CandidateRole.ACCEPTED, ("on",)), wrong)
    assert hear_all(blocks(padded("human/on.wav")), turns)[0].waited < 0.5


def test_speech_at_the_end_of_a_recording_is_heard() -> None:
    turns, listener = turned()
    samples = in_a_room("human/on.wav")
    loudest = int(np.abs(samples).argmax())
    heard = hear_all(blocks(samples[: loudest // BLOCK * BLOCK + BLOCK]), turns)
    assert [h.text for h in heard] == ["late"]
    assert turns.end() is None
    assert listener.given == []


def test_two_utterances_are_two() -> None:
    turns, listener = turned()
    first, second = padded("human/on.wav"), padded("human/off.wav")
    heard = hear_all(blocks(np.concatenate([first, second])), turns)
    assert len(heard) == len(listener.decided) == 2
    assert 0 <= heard[0].start < heard[0].end < heard[1].start < heard[1].end
    assert heard[1].start * SAMPLE_RATE > len(first)


def test_arming_again_drops_what_was_under_way() -> None:
    turns, listener = turned()
    samples = in_a_room("human/on.wav")
    for block in blocks(samples[: int(np.abs(samples).argmax()) // BLOCK * BLOCK]):
        turns.push(block)
    assert listener.given
    turns.listen_for(listening_for("on"))
    assert listener.given == []
    assert hear_all(blocks(np.zeros(SAMPLE_RATE, np.int16)), turns) == []


def test_a_short_block_is_filled_up_and_a_long_one_refused() -> None:
    turns, _ = turned()
    assert turns.push(np.zeros(3, np.int16)) is None
    assert turns.clock == pytest.approx(BLOCK / SAMPLE_RATE)
    with pytest.raises(ValueError, match="a block is 512 samples"):
        turns.push(np.zeros(BLOCK + 1, np.int16))


def test_closing_frees_the_recogniser() -> None:
    turns, listener = turned()
    turns.close()
    assert listener.closed
