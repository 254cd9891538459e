"""One reply as stored: word for word, and where it came from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from callout.core.model.checklist import Role
from callout.core.model.heard import Heard

MOST_ALTERNATIVES = 3


class ReplySource(Enum):
    """How a reply reached the session."""

    VOICE = "voice"
    KEYBOARD = "keyboard"
    KEY = "key"


@dataclass(frozen=True, slots=True)
class Utterance:
    """Words, and how certain they are."""

    text: str
    """The phrase understood, or the best guess."""
    transcript: str = ""
    """Word for word as the engine wrote it, or as typed."""
    source: ReplySource = ReplySource.VOICE
    sure: bool = True
    confidence: float = 1.0
    """Probability that it was heard correctly, 0 to 1; 1 when typed."""
    alternatives: tuple[tuple[str, float], ...] = ()
    """Other phrases with their probability, best first."""
    engine: str = ""
    seat: Role | None = None
    misread: bool = False
    """True: the transcript is not what was said, judging by the sound."""

    @property
    def words(self) -> str:
        """What to show as heard; empty when no word was made out.

        When the engine is unsure, its guessed phrase would mislead; its transcript does not.
        """
        return (self.text or self.transcript) if self.sure else (self.transcript or self.text)


def spoken_utterance(heard: Heard, seat: Role | None = None) -> Utterance:
    """Return what was heard as an utterance."""
    others = heard.alternatives[:MOST_ALTERNATIVES]
    return Utterance(
        text=heard.text,
        transcript=heard.transcript,
        source=ReplySource.VOICE,
        sure=heard.sure,
        confidence=_checked_probability(heard.confidence),
        alternatives=tuple((text, _checked_probability(p)) for text, p in others),
        engine=heard.engine,
        seat=seat,
        misread=heard.misread,
    )


def typed_utterance(text: str) -> Utterance:
    """Return a typed line as an utterance."""
    return Utterance(text=text.strip(), transcript=text, source=ReplySource.KEYBOARD)


def pressed_utterance(key: str) -> Utterance:
    """Return a key as an utterance."""
    return Utterance(text="", transcript=key, source=ReplySource.KEY)


def _checked_probability(value: float) -> float:
    return round(min(1.0, max(0.0, value)), 4) if math.isfinite(value) else 0.0
