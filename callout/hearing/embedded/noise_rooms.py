"""Rooms with noise and no speech, in which phrases are scored for comparison."""

from __future__ import annotations

from callout.hearing.embedded.network import Encoded, Network, Rows
from callout.hearing.embedded.phrases import room_noise
from callout.hearing.embedded.scoring import Scores, Tokens, score_phrases
from callout.hearing.framing import frame_samples

NOISE_SEEDS = (1, 2, 3)
PRUNE = 30.0
"""How far behind the best another prefix may fall here, natural log."""


class NoiseRooms:
    """A few of them, encoded once; no text is written for them."""

    def __init__(self, ends: tuple[int, ...]) -> None:
        self._ends = ends
        self._rooms: list[tuple[Encoded, Rows]] = []

    def scores(self, network: Network, wanted: set[Tokens]) -> list[Scores]:
        """Return the scores of token sequences in each room."""
        if not self._rooms:
            self._rooms = [network.encode(frame_samples(room_noise(s))) for s in NOISE_SEEDS]
        return [
            score_phrases(network, *room, wanted, self._ends, PRUNE, free_tokens=0)
            for room in self._rooms
        ]
