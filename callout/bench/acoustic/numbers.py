"""Numbers to hear at items: human digits joined together, and synthetic voices.

Pressure settings, transponder codes, headings, frequencies and altitudes. Each is heard at an item
that expects it, and at one that expects another number, one digit off.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.acoustic.spoken_material import Spoken, joined
from callout.bench.corpora import DIGITS, CorpusKind, CorpusRecording
from callout.bench.synth import installed_voices, synthesise
from callout.core.model.candidates import CandidateRole, CandidateSet
from callout.core.understanding.candidate_sets import candidates_for
from callout.ports.hearing import Samples

HUMAN, MADE = 80, 160
"""Numbers of each person, and of all synthetic voices together."""
PREFIX = "numbers/"
LENGTHS = (3, 4, 4, 4, 5)
"""Digits: headings, pressure settings and codes, frequencies."""
ENOUGH = 20
"""Single digits needed from a person to join them."""


def numbers(people: Iterable[CorpusRecording], seed: int = 7) -> Iterator[CorpusRecording]:
    """Yield numbers joined from people's own digits, then spoken by synthetic voices."""
    by_speaker: dict[str, list[Spoken]] = defaultdict(list)
    for one in people:
        if one.among == DIGITS:
            by_speaker[one.speaker].append(Spoken(one.samples, one.said, "digits", one.speaker))
    for speaker, takes in sorted(by_speaker.items()):
        chance = random.Random(f"{seed} {speaker}")
        for _ in range(HUMAN if len(takes) > ENOUGH else 0):
            row = joined([chance.choice(takes) for _ in range(chance.choice(LENGTHS))], chance)
            yield from _twice(row.words, speaker, row.samples, chance)
    chance = random.Random(seed)
    there = [v for v in installed_voices() if v.startswith(("flite", "espeak:en"))]
    for _ in range(MADE if there else 0):
        words, voice = _words(chance), chance.choice(there)
        yield from _twice(words, voice, synthesise(words, voice), chance)


def _words(chance: random.Random) -> str:
    """Return a number as crews say it."""
    three, four = (" ".join(chance.choices(DIGITS, k=k)) for k in (3, 4))
    thousands, hundreds = chance.choices(DIGITS[1:], k=2)
    return chance.choice(
        (
            f"heading {three}",
            four,
            f"one {' '.join(chance.choices(DIGITS, k=2))} decimal {chance.choice(DIGITS[1:])}",
            f"{thousands} thousand {hundreds} hundred",
            f"flight level {three}",
        )
    )


def _twice(
    words: str, speaker: str, samples: Samples, chance: random.Random
) -> Iterator[CorpusRecording]:
    """Yield it at an item that expects it, and at one that expects a number one digit off."""
    for expect in (words, _one_off(words, chance)):
        among = tuple(
            c.text for c in item(expect).candidates if c.role is not CandidateRole.COMMAND
        )
        said = next((c.text for c in item(expect).candidates if words in c.forms), "")
        if said:
            name = f"{PREFIX}{speaker}/{words} at {expect}"
            yield CorpusRecording(name, speaker, CorpusKind.REPLY, said, among, samples)


def _one_off(words: str, chance: random.Random) -> str:
    parts = words.split()
    at = chance.choice([i for i, part in enumerate(parts) if part in DIGITS])
    parts[at] = chance.choice([d for d in DIGITS[1:] if d != parts[at]])
    return " ".join(parts)


@cache
def item(expect: str) -> CandidateSet:
    """Return what to listen for at an item that expects a number."""
    return candidates_for(
        expected_reply([expect], []), default_commands().groups(), default_tables()
    )


def is_number(recording: CorpusRecording) -> bool:
    """Return True for a recording that ``numbers`` gave."""
    return recording.name.startswith(PREFIX)
