"""Levels of phrases on mere noise: the same however they are asked for, and worked out once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest

from callout.hearing.embedded import noise_rooms
from callout.hearing.embedded.evidence import WORST
from callout.hearing.embedded.network import END, Encoded, Network, Rows
from callout.hearing.embedded.noise_rooms import NoiseRooms
from callout.hearing.embedded.scoring import Tokens
from callout.hearing.embedded.tokenizer import Tokenizer
from callout.hearing.embedded.weights import Weights

WORDS = ("on", "off", "set", "checked", "flaps ten", "one zero one three", "parking brake released")


class Counting(Network):
    """The real network, with its steps counted."""

    steps = 0

    def step(self, encoded: object, tokens: list[int], rows: Rows) -> Rows:
        self.steps += 1
        return super().step(encoded, tokens, rows)  # type: ignore[arg-type]

    def step_together(
        self, encoded: Sequence[Encoded], tokens: Sequence[list[int]], rows: Sequence[Rows]
    ) -> list[Rows]:
        self.steps += 1
        return super().step_together(encoded, tokens, rows)


@pytest.fixture
def nothing_known() -> Iterator[None]:
    before = dict(noise_rooms._known)
    noise_rooms._known.clear()
    yield
    noise_rooms._known.update(before)


@pytest.fixture(scope="module")
def network() -> Counting:
    return Counting(Weights.shipped())


@pytest.fixture(scope="module")
def phrases() -> list[Tokens]:
    tokenizer = Tokenizer.from_bytes(Weights.shipped().tokens)
    return [tokenizer.encode(words) for words in WORDS]


@pytest.mark.usefixtures("nothing_known")
def test_a_level_does_not_depend_on_the_phrases_asked_for_with_it(
    network: Counting, phrases: list[Tokens]
) -> None:
    together = NoiseRooms((END,)).scores(network, set(phrases))
    noise_rooms._known.clear()
    for phrase in reversed(phrases):
        alone = NoiseRooms((END,)).scores(network, {phrase})
        for room, other in zip(together, alone, strict=True):
            counted = max(room.phrases[phrase], WORST), max(other.phrases[phrase], WORST)
            assert counted[0] == pytest.approx(counted[1], abs=1e-3)


@pytest.mark.usefixtures("nothing_known")
def test_a_level_is_the_same_in_one_room_after_the_other(
    network: Counting, phrases: list[Tokens], monkeypatch: pytest.MonkeyPatch
) -> None:
    together = NoiseRooms((END,)).scores(network, set(phrases))
    noise_rooms._known.clear()
    monkeypatch.setattr(noise_rooms, "FEW", 0)
    network.steps = 0
    one_by_one = NoiseRooms((END,)).scores(network, set(phrases))
    assert network.steps > max(len(phrase) for phrase in phrases)
    for room, other in zip(together, one_by_one, strict=True):
        assert room.phrases == pytest.approx(other.phrases, abs=1e-3)


@pytest.mark.usefixtures("nothing_known")
def test_another_recogniser_works_out_only_what_is_new(
    network: Counting, phrases: list[Tokens]
) -> None:
    first = NoiseRooms((END,)).scores(network, set(phrases[:4]))
    network.steps = 0
    again = NoiseRooms((END,)).scores(network, set(phrases[:4]))
    assert network.steps == 0
    assert [room.phrases for room in again] == [room.phrases for room in first]
    more = NoiseRooms((END,)).scores(network, set(phrases))
    assert network.steps == max(len(phrase) for phrase in phrases[4:])
    assert all(set(room.phrases) == set(phrases) for room in more)


@pytest.mark.usefixtures("nothing_known")
def test_what_is_known_does_not_grow_without_end(
    network: Counting, phrases: list[Tokens], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(noise_rooms, "MOST_KNOWN", 3)
    for phrase in phrases:
        (room, *_) = NoiseRooms((END,)).scores(network, {phrase})
        assert set(room.phrases) == {phrase}
        assert len(noise_rooms._known) <= 3
