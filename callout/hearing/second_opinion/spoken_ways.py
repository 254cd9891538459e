"""What the phrases listened for are, as far as the others that are asked need to know."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

from callout.core.model.candidates import Candidate, CandidateRole
from callout.hearing.embedded.evidence import plain_words
from callout.hearing.embedded.written import written_variants

MOST_DIGITS = 2
"""If a longer number is expected, the others are not asked: a single digit decides there."""


def is_word(forms: Iterable[str]) -> bool:
    """Return True for a phrase that is a single word however it is said."""
    return not any(" " in form for form in forms)


def is_long_number(candidate: Candidate) -> bool:
    """Return True for an expected number of more than MOST_DIGITS digits."""
    accepted = candidate.role is CandidateRole.ACCEPTED
    return accepted and any(
        max(sum(c.isdigit() for c in str(value.number)), value.digits or 0) > MOST_DIGITS
        for value in candidate.values
    )


def ways_of(forms: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
    """Return the plain texts that each phrase may be written as."""
    return {text: _ways(spoken) for text, spoken in forms.items()}


@lru_cache(1024)
def _ways(spoken: tuple[str, ...]) -> frozenset[str]:
    return frozenset(plain_words(way) for form in spoken for way in written_variants(form))
