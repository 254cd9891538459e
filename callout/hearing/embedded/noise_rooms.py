"""Rooms with noise and no speech, in which phrases are scored for comparison."""

from __future__ import annotations

from callout.hearing.embedded.network import Encoded, Network, Rows
from callout.hearing.embedded.phrases import room_noise
from callout.hearing.embedded.scoring import (
    Scores,
    Tokens,
    score_phrases,
    score_phrases_together,
)
from callout.hearing.framing import frame_samples

NOISE_SEEDS = (1, 2, 3)
PRUNE = 30.0
"""How far behind the best another prefix may fall here, natural log; what falls further counts as
little as the least that counts.
"""
FEW = 24
"""Up to so many are scored in all rooms at once: fetching the weights takes most of the time. More
would need more memory.
"""
MOST_KNOWN = 20_000
_known: dict[Tokens, tuple[float, ...]] = {}
"""Scores in each room; all recognisers of a process have the same weights and rooms."""


class NoiseRooms:
    """A few of them, encoded once; no text is written for them."""

    def __init__(self, ends: tuple[int, ...]) -> None:
        self._ends = ends
        self._rooms: list[tuple[Encoded, Rows]] = []

    def scores(self, network: Network, wanted: set[Tokens]) -> list[Scores]:
        """Return the scores of token sequences in each room; known ones are not worked out anew."""
        found = {tokens: known for tokens in wanted if (known := _known.get(tokens))}
        if new := wanted - found.keys():
            found |= self._measured(network, new)
            if len(_known) + len(new) > MOST_KNOWN:
                _known.clear()
            _known.update((tokens, found[tokens]) for tokens in new)
        return [
            Scores({tokens: levels[room] for tokens, levels in found.items()}, [], 0.0)
            for room in range(len(NOISE_SEEDS))
        ]

    def _measured(self, network: Network, new: set[Tokens]) -> dict[Tokens, tuple[float, ...]]:
        if not self._rooms:
            self._rooms = [network.encode(frame_samples(room_noise(s))) for s in NOISE_SEEDS]
        if len(new) > FEW:
            rooms = [
                score_phrases(network, *room, new, self._ends, PRUNE, free_tokens=0)
                for room in self._rooms
            ]
        else:
            rooms = score_phrases_together(network, self._rooms, new, self._ends, PRUNE)
        return {tokens: tuple(room.phrases[tokens] for room in rooms) for tokens in new}
