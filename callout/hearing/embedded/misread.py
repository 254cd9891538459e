"""Is the free transcript what was said? The acoustic model compares it with the best phrase."""

from __future__ import annotations

from callout.hearing.embedded.evidence import plain_words
from callout.hearing.embedded.lexicon import Lexicon
from callout.hearing.embedded.opinions import Impression, Opinion
from callout.hearing.embedded.phone_probe import phrase_scores

MISREAD = 15.0
"""A transcript this far behind in sound was not said; of the wrong replies that the transcript gave
away, the furthest was 9.5 behind.
"""


def transcript_lag(opinion: Opinion, impression: Impression | None, lexicon: Lexicon) -> float:
    """Return how far the transcript lies behind the best phrase in the acoustic model's reading.

    In natural logarithms; 0 if there is no impression or a word's pronunciation is unknown.
    """
    ways = lexicon.phrase(plain_words(opinion.reading.text))
    if not ways or impression is None:
        return 0.0
    return opinion.scores[0].sound - float(phrase_scores(impression.sounds, ways).max())


def is_misread(opinion: Opinion, impression: Impression | None, lexicon: Lexicon) -> bool:
    """Return True if the sound says that the transcript is not what was said."""
    return transcript_lag(opinion, impression, lexicon) >= MISREAD
