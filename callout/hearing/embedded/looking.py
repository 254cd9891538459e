"""What the networks make of one utterance: at once, and with what was set aside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from callout.hearing.denoise import reduce_and_measure
from callout.hearing.embedded.near_search import score_near
from callout.hearing.embedded.network import Encoded, Network, Rows
from callout.hearing.embedded.opinions import Impression
from callout.hearing.embedded.phone_probe import PhoneProbe, frames_of
from callout.hearing.embedded.phrase_book import PhraseSet
from callout.hearing.embedded.phrases import Pronounced
from callout.hearing.embedded.sharing import run_both
from callout.hearing.embedded.weights import Floats
from callout.hearing.framing import frame_samples
from callout.ports.hearing import Samples

Read = Callable[[Samples], Floats]
"""The acoustic model: from a sound to its log-probabilities of phones."""


def first_look(
    network: Network,
    ends: tuple[int, ...],
    read: Read,
    probe: PhoneProbe,
    told: PhraseSet,
    samples: Samples,
    near: float,
) -> Impression:
    """Run the networks over one utterance; both of two threads have work all the time.

    near: how far behind the best a prefix may fall before it is set aside, natural log.
    """

    def read_clearer() -> tuple[Encoded, Rows, float]:
        clearer, snr_db = reduce_and_measure(samples)
        return *network.encode(frame_samples(clearer)), snr_db

    (encoded, root, snr_db), sounds = run_both(read_clearer, lambda: read(samples))
    frames = frames_of(encoded.hidden)
    found, said = run_both(
        lambda: score_near(network, encoded, root, told.tokens, ends, near),
        lambda: Pronounced.of(probe, frames, sounds, told.sounds),
    )
    aside = found if found.bounds else None
    return Impression(frames, found.least, sounds, snr_db, (encoded, root), said, aside)


def whole_look(network: Network | None, ends: tuple[int, ...], seen: Impression) -> Impression:
    """Return the impression with what was set aside."""
    if network is None or seen.near is None or seen.encoded is None:
        return seen
    return replace(seen, scores=seen.near.whole(network, seen.encoded[0], ends), near=None)
