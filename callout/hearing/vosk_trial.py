"""Loads one model and decides on one utterance, in a process of its own.

A damaged model can crash its process, so it is tried where that does no harm: ``python -m
callout.hearing.vosk_trial FOLDER`` prints one line of JSON.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass

from callout.core.sentences import sound_devices as sentences

ENGLISH = ("on", "off", "set", "up", "down", "open", "closed", "zero", "one", "nine")
"""Words that every English model knows, used to recognise the language."""


@dataclass(frozen=True, slots=True)
class VoskTrial:
    """The result of loading a model."""

    loads: bool
    message: str = ""
    hint: str = ""
    english: bool = False
    """True if the vocabulary contains all of ``ENGLISH``."""


def try_model(folder: str) -> VoskTrial:
    """Load ``folder`` and let a free and a closed recogniser hear a second of noise."""
    import numpy as np

    from callout.errors import CalloutError
    from callout.hearing.vosk_files import checked_folder, takes_grammar
    from callout.hearing.vosk_grammar import UNKNOWN_MARKS
    from callout.hearing.vosk_native import load_model, new_recogniser

    noise = np.random.default_rng(0).normal(0, 1000, 16_000).astype(np.int16).tobytes()
    try:
        path = checked_folder(folder)
        model = load_model(path)
        known = [w for w in (*ENGLISH, *UNKNOWN_MARKS) if model.vosk_model_find_word(w) >= 0]
        for phrases in ((), known) if takes_grammar(path) else ((),):
            recogniser = new_recogniser(model, phrases)
            recogniser.AcceptWaveform(noise)
            recogniser.FinalResult()
    except CalloutError as error:
        return VoskTrial(loads=False, message=error.message, hint=error.hint)
    except Exception as error:  # the library raises bare exceptions
        return VoskTrial(loads=False, message=sentences.loads_but_cannot_hear(error))
    return VoskTrial(loads=True, english=set(ENGLISH) <= set(known))


if __name__ == "__main__":
    print(json.dumps(asdict(try_model(sys.argv[1]))))
