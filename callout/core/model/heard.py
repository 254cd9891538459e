"""What a recogniser reports about one utterance."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Heard:
    """One utterance in words and scores, before any judging.

    ``sure`` is the recogniser's own decision, based on thresholds chosen from measured data: only a
    sure utterance can become a match, a mismatch or a spoken command.
    """

    text: str
    """The candidate that stands out (if sure), else the best guess; empty if there is none."""
    transcript: str = ""
    """Free transcript without candidates, word for word as the engine wrote it."""
    confidence: float = 0.0
    """Calibrated probability, 0 to 1, that ``text`` is what was said."""
    sure: bool = False
    alternatives: tuple[tuple[str, float], ...] = ()
    """Other candidates with their probability, best first."""
    start: float = 0.0
    """Start of speech in seconds from the start of listening."""
    end: float = 0.0
    """End of speech, same origin."""
    waited: float = 0.0
    """Seconds of silence that had to follow before the speech counted as finished."""
    compute_ms: float = 0.0
    """Time spent deciding after the end of speech, in milliseconds."""
    engine: str = ""
    voice: str = ""
    """Name of the enrolled person whose voice it clearly was; empty if unknown."""
    misread: bool = False
    """True: the sound fits ``text`` so much better than the transcript that this contradicts
    nothing.
    """
