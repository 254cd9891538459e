"""Load one model and decide on one utterance, in a process of its own.

A damaged model can take the process down with it, so it is tried where that does no harm:
``python -m callout.hearing.vosk_trial FOLDER`` prints one line of JSON.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass

ENGLISH = ("on", "off", "set", "up", "down", "open", "closed", "zero", "one", "nine")
"""Words that every English model knows, by which the language is told."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of loading a model."""

    loads: bool
    message: str = ""
    hint: str = ""
    english: bool = False
    """True if the vocabulary holds all of ``ENGLISH``."""


def try_model(folder: str) -> Trial:
    """Load ``folder``, arm it and let it hear a second of noise."""
    import numpy as np

    from callout.core.candidates import Candidate, CandidateRole, CandidateSet
    from callout.errors import CalloutError
    from callout.hearing.vosk_engine import VoskRecogniser

    try:
        recogniser = VoskRecogniser(folder)
        phrases = [Candidate(w, CandidateRole.ACCEPTED, (w,)) for w in ENGLISH]
        recogniser.listen_for(CandidateSet("trial", tuple(phrases)))
        noise = np.random.default_rng(0).normal(0, 1000, 16_000)
        recogniser.accept(noise.astype(np.int16))
        recogniser.decide()
        english = not recogniser.unknown_words(ENGLISH)
        recogniser.close()
    except CalloutError as error:
        return Trial(loads=False, message=error.message, hint=error.hint)
    return Trial(loads=True, english=english)


if __name__ == "__main__":
    print(json.dumps(asdict(try_model(sys.argv[1]))))
