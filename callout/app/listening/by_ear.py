"""Replies spoken by an installed voice and heard by the recogniser: is each told apart from its
wrong replies?
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

from callout.app.listening.engines import open_recogniser
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.judging.contrast import contrasting_replies
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.lint.finding import ListFinding, Severity
from callout.core.model.checklist import Checklist, Item
from callout.core.model.expectation import Answer, Expectation, Value
from callout.core.model.flight import EMPTY_FLIGHT, Flight
from callout.core.model.verdict import Verdict
from callout.core.planning.resolve import expectation_for
from callout.core.sentences import sound_devices as sentences
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.errors import ChecklistInvalid, EngineUnavailable
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import SAMPLE_RATE, Samples

MOST_WRONG: Final = 2
"""Wrong replies spoken at one item: the named ones, then the usual opposite."""
VOICES: Final = {
    "flite": (("-voice", "rms"), ("-voice", "slt")),
    "espeak-ng": (("-v", "en-us", "-s", "150"), ("-v", "en+f3", "-s", "150")),
}
"""Two voices of the first of these programs that is installed."""
_TIMEOUT_S: Final = 20
_HISS: Final = 3.0
"""Root mean square of the near silence around a reply, in 16-bit steps: no real room is digitally
silent.
"""


@dataclass(frozen=True, slots=True)
class TriedByEar:
    """One reply spoken once."""

    verdict: Verdict
    heard: str


@dataclass(slots=True)
class ByEar:
    """Speaks and hears the replies of items; identical items are tried once."""

    engine: str = "auto"
    _program: str = ""
    _turns: Turns | None = None
    _known: dict[tuple[object, ...], tuple[TriedByEar, ...]] = field(default_factory=dict)
    _sounds: dict[tuple[str, int], Samples] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._program = next((name for name in VOICES if shutil.which(name)), "")
        if not self._program:
            hint = "On Debian or Ubuntu: apt-get install flite"
            raise EngineUnavailable(sentences.NO_VOICE_TO_FILE, hint)
        self._turns = Turns(Segmenter(), open_recogniser(self.engine))

    def check(
        self, checklist: Checklist, item: Item, flight: Flight | None
    ) -> Iterator[ListFinding]:
        """Yield a warning for a reply heard as its contrary, a note for one never understood."""
        try:
            wanted = expectation_for(checklist, item, flight or EMPTY_FLIGHT, default_tables())
        except ChecklistInvalid:
            return  # a value is unknown: nothing can be tried yet
        right = _answer_words(wanted.accepted[0])
        tries = self._try(wanted, right)
        mistaken = [t for t in tries if t.verdict is Verdict.MISMATCH]
        if mistaken:
            said = f'"{right}", said by a voice, was heard as "{mistaken[0].heard}".'
            yield _ear_finding("heard-as-another", Severity.WARNING, item, said)
        elif all(t.verdict is Verdict.UNCLEAR for t in tries):
            heard = " or ".join(dict.fromkeys(f'"{t.heard}"' for t in tries))
            said = f'"{right}" was understood from no voice tried; heard was {heard}.'
            yield _ear_finding("never-understood", Severity.NOTE, item, said)
        for wrong in _wrong_replies(wanted):
            first = self._try(wanted, wrong, voices=1)[0]
            if first.verdict is Verdict.MATCH:
                said = f'the wrong reply "{wrong}" was heard as the right one, "{first.heard}".'
                yield _ear_finding("heard-as-another", Severity.WARNING, item, said)

    def close(self) -> None:
        """Free the recogniser."""
        if self._turns:
            self._turns.close()

    def _try(self, wanted: Expectation, words: str, voices: int = 2) -> tuple[TriedByEar, ...]:
        """Return the result of each voice, up to the first that was taken for the right reply."""
        key = (wanted.accepted, wanted.wrong, words)
        if key not in self._known:
            tries: list[TriedByEar] = []
            for voice in range(voices):
                tries.append(self._hear(wanted, words, voice))
                if tries[-1].verdict is Verdict.MATCH:
                    break
            self._known[key] = tuple(tries)
        return self._known[key]

    def _hear(self, wanted: Expectation, words: str, voice: int) -> TriedByEar:
        assert self._turns
        tables, commands = default_tables(), default_commands()
        self._turns.listen_for(candidates_for(wanted, commands.off_hold().groups(), tables))
        samples = self._spoken(words, voice)
        blocks = (samples[at : at + BLOCK] for at in range(0, len(samples), BLOCK))
        heard = hear_all(blocks, self._turns)
        judged = [(judge_heard(one, wanted, tables, commands).verdict, one) for one in heard]
        decisive = [pair for pair in judged if pair[0] is not Verdict.UNCLEAR] or judged
        if not decisive:
            return TriedByEar(Verdict.UNCLEAR, "nothing")
        verdict, one = decisive[0]
        return TriedByEar(verdict, one.text if one.sure else one.transcript)

    def _spoken(self, words: str, voice: int) -> Samples:
        if (words, voice) not in self._sounds:
            options = VOICES[self._program][voice]
            self._sounds[words, voice] = _in_a_room(_speak_words(self._program, options, words))
        return self._sounds[words, voice]


def _ear_finding(rule: str, severity: Severity, item: Item, said: str) -> ListFinding:
    hint = sentences.HEARD_AS_ANOTHER_HINT
    return ListFinding(rule, severity, item.origin.file, item.line, said, hint, item_id=item.id)


def _answer_words(answer: Answer) -> str:
    return next(iter(spoken_forms(answer, default_tables(), 1)), answer.text)


def _wrong_replies(wanted: Expectation) -> list[str]:
    """Return named wrong replies and the usual opposite, without mere negations."""
    tables = default_tables()
    found = [_answer_words(wrong.answer) for wrong in wanted.wrong]
    for answer in wanted.accepted:
        if not any(isinstance(part, Value) for part in answer.parts):
            found += [
                text for text in contrasting_replies(answer, tables) if not text.startswith("not ")
            ]
    wrong = (t for t in found if judge_reply(t, wanted, tables).verdict is not Verdict.MATCH)
    return list(dict.fromkeys(wrong))[:MOST_WRONG]


def _speak_words(program: str, options: tuple[str, ...], words: str) -> Samples:
    with tempfile.TemporaryDirectory(prefix="callout-") as folder:
        text, sound = Path(folder) / "words.txt", Path(folder) / "sound.wav"
        text.write_text(words + "\n", encoding="utf-8")
        out = "-o" if program == "flite" else "-w"
        command = [program, *options, "-f", str(text), out, str(sound)]
        try:
            done = subprocess.run(command, capture_output=True, timeout=_TIMEOUT_S, check=False)
        except (OSError, subprocess.TimeoutExpired) as error:
            raise EngineUnavailable(sentences.could_not_say(program, words)) from error
        if done.returncode or not sound.exists():
            raise EngineUnavailable(sentences.could_not_say(program, words))
        return read_wav(sound)


def _in_a_room(speech: Samples) -> Samples:
    """Return the speech with near silence around it, identical on every run."""
    noise = np.random.default_rng(len(speech))
    before, after = (noise.normal(0.0, _HISS, int(s * SAMPLE_RATE)) for s in (0.4, 1.2))
    parts = (before.astype(np.int16), speech, after.astype(np.int16))
    joined: Samples = np.concatenate(parts)
    return joined
