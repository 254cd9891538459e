"""How often the Vosk adapter is right, and wrong, on the packaged Korean model.

``python -m tests.hearing.measure_vosk`` runs every word in every voice (some minutes).
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from callout.hearing.vosk_engine import VoskRecogniser
from tests.hearing import korean

PHRASES = 8
"""Phrases in each grammar."""


@dataclass(slots=True)
class Count:
    """Decisions on recordings whose word is in the grammar, or is not."""

    recordings: int = 0
    sure_right: int = 0
    sure_wrong: int = 0
    closed_right: int = 0
    """The best guess was right, sure or not."""
    closed_listed: int = 0
    """A listed word was the best guess, right or wrong."""
    errors: list[str] = field(default_factory=list)
    ms: list[float] = field(default_factory=list)


def measure(
    recogniser: VoskRecogniser, words: Sequence[str], voices: Sequence[str], *, listed: bool
) -> Count:
    """Say each word in each voice against a grammar that has it (``listed``) or lacks it."""
    rng = random.Random(7)
    count = Count()
    for voice in voices:
        for word in words:
            others = rng.sample([other for other in korean.WORDS if other != word], PHRASES)
            phrases = [word, *others[1:]] if listed else others
            recogniser.listen_for(korean.listening_for(*phrases))
            recogniser.accept(korean.say(word, voice))
            heard = recogniser.decide()
            count.recordings += 1
            count.closed_right += heard.text == word
            count.closed_listed += heard.text in phrases
            count.sure_right += heard.sure and heard.text == word
            count.sure_wrong += heard.sure and heard.text != word
            count.ms.append(heard.compute_ms)
            if heard.sure and heard.text != word:
                count.errors.append(f"{word} taken for {heard.text} ({voice})")
    return count


def main() -> None:
    """Print both counts."""
    folder = korean.model_folder()
    assert folder is not None, korean.why_not()
    recogniser = VoskRecogniser(folder)
    unknown = set(recogniser.unknown_words(korean.WORDS))
    words = [word for word in korean.WORDS if word not in unknown]
    for listed in (True, False):
        count = measure(recogniser, words, tuple(korean.VOICES), listed=listed)
        median = sorted(count.ms)[len(count.ms) // 2]
        print(f"word in the grammar: {listed}; {len(words)} words, {count.recordings} recordings")
        print(f"  best guess right {count.closed_right}, a listed word {count.closed_listed}")
        print(f"  sure and right {count.sure_right}, sure and wrong {count.sure_wrong}")
        print(f"  decision {median:.0f} ms median; {count.errors}")


if __name__ == "__main__":
    main()
