"""Pronunciations as a tree: what several of them begin with is aligned with the sound once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from callout.hearing.embedded.lexicon import Phones

Floats = NDArray[np.float32]
Places = NDArray[np.intp]

NEVER = np.float32(-1e9)


@dataclass(frozen=True, slots=True)
class PhoneTree:
    """Nodes, of which the first is the beginning and each other a phone after its parent."""

    parents: Places
    phones: Places
    blocked: Floats
    """0 where a phone may follow its parent's at once, NEVER where "no phone" must lie between."""
    ends: Places
    """The last node of each pronunciation."""

    @classmethod
    def of(cls, sounds: Sequence[Phones]) -> PhoneTree:
        """Return the tree of these pronunciations; phone numbers begin at 1."""
        known: dict[tuple[int, int], int] = {}
        parents, phones, ends = [0], [0], []
        for sound in sounds:
            at = 0
            for phone in sound:
                after = known.setdefault((at, phone), len(parents))
                if after == len(parents):
                    parents.append(at)
                    phones.append(phone)
                at = after
            ends.append(at)
        above, here = np.array(parents, np.intp), np.array(phones, np.intp)
        apart = (here == here[above]) | (above == 0)
        return cls(above, here, np.where(apart, NEVER, np.float32(0)), np.array(ends, np.intp))

    def best_alignments(self, log_probs: Floats) -> Floats:
        """Return the natural-log probability of each pronunciation's best alignment.

        log_probs: (frames, phones + 1), at least one frame, number 0 being "no phone".
        """
        emitted, none = log_probs[:, self.phones], log_probs[:, 0]
        sounding = np.full(len(self.parents), NEVER, np.float32)
        silent, over, come = sounding.copy(), np.empty_like(sounding), np.empty_like(sounding)
        first = np.flatnonzero(self.parents == 0)[1:]
        sounding[first], silent[0] = emitted[0, first], none[0]
        for frame, pause in zip(emitted[1:], none[1:], strict=True):
            np.take(sounding, self.parents, out=over)
            np.add(over, self.blocked, out=over)
            np.take(silent, self.parents, out=come)
            np.maximum(come, over, out=come)
            np.maximum(come, sounding, out=come)
            np.maximum(silent, sounding, out=silent)
            np.add(silent, pause, out=silent)
            np.add(come, frame, out=sounding)
            sounding[0] = NEVER
        ends: Floats = np.maximum(sounding[self.ends], silent[self.ends])
        return ends


@lru_cache(maxsize=8)
def tree_of_sounds(sounds: tuple[Phones, ...]) -> PhoneTree:
    """Return the tree of an item's pronunciations, made once."""
    return PhoneTree.of(sounds)
