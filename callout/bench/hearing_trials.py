"""One recording, one trial: heard through the live path and compared with what was said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.bench.corpora import (
    COMMAND_WORDS,
    CorpusKind,
    CorpusRecording,
    framed_recording,
    noise_recordings,
)
from callout.bench.levels import LevelChange
from callout.bench.phrases import CHALLENGES, PHRASES, VOICES
from callout.bench.synth import installed_voices, synthesise
from callout.core.model.candidates import CandidateSet
from callout.core.model.expectation import Expectation
from callout.core.model.heard import Heard
from callout.core.model.verdict import Verdict
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import judge_heard
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.ports.hearing import SAMPLE_RATE, Recogniser, Samples


@dataclass(frozen=True, slots=True)
class HearingTrial:
    """The result for one recording."""

    condition: str
    kind: CorpusKind
    name: str
    speaker: str
    said: str
    expect: str
    among: tuple[str, ...]
    heard: str
    """The best candidate."""
    sure: bool
    confidence: float
    verdict: str
    transcript: str = ""
    waited_ms: float = 0.0
    compute_ms: float = 0.0
    spoke_up: bool = False
    """True if somebody was found to speak over the tool's own voice."""

    @property
    def right(self) -> bool:
        """True if the reply was accepted, and it was the expected one."""
        return self.verdict == Verdict.MATCH.value and self.said == self.expect

    @property
    def taken_for(self) -> str:
        """The reply it was surely taken for, right or wrong; empty for none or a command."""
        return self.heard if self.sure and self.heard in self.among else ""


class Bench:
    """Holds one recogniser and hears recordings with it."""

    def __init__(self, recogniser: Recogniser) -> None:
        self.recogniser = recogniser
        self._turns = Turns(Segmenter(), recogniser)
        self._tables = default_tables()
        self._commands = default_commands()

    def human(
        self, recordings: Iterable[CorpusRecording], snr: float | None, name: str
    ) -> Iterator[HearingTrial]:
        """Yield a trial for each recording; expected is what is said (for others, in turn)."""
        for number, recording in enumerate(recordings):
            samples = framed_recording(recording, snr, seed=number)
            yield self._try(recording, name, _expected(recording, number), [samples])

    def under(
        self,
        recordings: Iterable[CorpusRecording],
        name: str,
        make: Callable[[Samples, int], Samples],
    ) -> Iterator[HearingTrial]:
        """Yield a trial for each recording as ``make`` lets it sound, given it and a seed."""
        for number, recording in enumerate(recordings):
            samples = make(framed_recording(recording, None), number)
            yield self._try(recording, name, _expected(recording, number), [samples])

    def changed(
        self, recordings: Iterable[CorpusRecording], change: LevelChange
    ) -> Iterator[HearingTrial]:
        """Yield a trial for each recording as a bad device or room would give it."""
        for number, recording in enumerate(recordings):
            samples = change.apply(recording)
            yield self._try(recording, change.name, _expected(recording, number), [samples])

    def two_tries(self, recordings: list[CorpusRecording]) -> Iterator[HearingTrial]:
        """Yield a trial for each doubtful first try, said again (another voice's take of it)."""
        by_word: dict[tuple[str, ...], list[CorpusRecording]] = {}
        for r in recordings:
            by_word.setdefault((r.said, *r.among), []).append(r)
        for same in by_word.values():
            for first, second in zip(same, [*same[1:], same[0]], strict=True):
                pair = [framed_recording(first, None), framed_recording(second, None)]
                yield self._try(first, "two tries", first.said, pair)

    def noises(self) -> Iterator[HearingTrial]:
        """Yield a trial for each made sound without speech."""
        for name, samples in noise_recordings(np.random.default_rng(1)):
            sound = CorpusRecording(name, "", CorpusKind.NOISE, "", COMMAND_WORDS, samples)
            yield self._try(sound, "made noises", "on", [samples])

    def synthetic(self) -> Iterator[HearingTrial]:
        """Yield right and plausible wrong multi-word replies and numbers in several voices."""
        there = [v for v in VOICES if v in installed_voices()]
        for voice in there:
            for expect, right, wrong in PHRASES:
                wanted = expected_reply([expect], [])
                for said, kind in ((right, "synthetic right"), (wrong, "synthetic wrong")):
                    samples = _quiet(synthesise(said, voice))
                    shown = expect if kind.endswith("right") else said
                    one = CorpusRecording(said, voice, CorpusKind.REPLY, shown, (expect,), samples)
                    yield self._hear(one, kind, expect, [samples], wanted)

    def own_voice(self) -> Iterator[HearingTrial]:
        """Yield the tool's own challenges, heard by its own ear."""
        for voice in [v for v in VOICES if v in installed_voices()]:
            for text in CHALLENGES:
                samples = _quiet(synthesise(text, voice))
                one = CorpusRecording(text, voice, CorpusKind.NOISE, "", COMMAND_WORDS, samples)
                yield self._try(one, "own voice", "on", [samples])

    def _try(
        self, recording: CorpusRecording, condition: str, expect: str, takes: list[Samples]
    ) -> HearingTrial:
        others = [w for w in recording.among if w != expect]
        return self._hear(recording, condition, expect, takes, expected_reply([expect], others))

    def _hear(
        self,
        recording: CorpusRecording,
        condition: str,
        expect: str,
        takes: list[Samples],
        wanted: Expectation,
    ) -> HearingTrial:
        self._turns.listen_for(self.candidates(wanted))
        heard = [h for take in takes for h in hear_all(_blocks(take), self._turns)]
        return self.outcome(recording, condition, expect, heard, wanted)

    def candidates(self, wanted: Expectation) -> CandidateSet:
        """Return what is listened for where ``wanted`` is asked."""
        return candidates_for(wanted, self._commands.groups(), self._tables, "trial")

    def hear(self, samples: Samples, candidates: CandidateSet) -> list[Heard]:
        """Return every utterance in a recording, at an item with these candidates."""
        self._turns.listen_for(candidates)
        blocks = (samples[at : at + BLOCK] for at in range(0, len(samples), BLOCK))
        return hear_all(blocks, self._turns)

    def acted(self, heard: Heard, wanted: Expectation) -> bool:
        """Say whether a session would have acted on an utterance."""
        judged = judge_heard(heard, wanted, self._tables, self._commands)
        return judged.verdict is not Verdict.UNCLEAR or heard.sure

    def outcome(
        self,
        recording: CorpusRecording,
        condition: str,
        expect: str,
        heard: list[Heard],
        wanted: Expectation,
        *,
        spoke_up: bool = False,
    ) -> HearingTrial:
        """Return what a session would have made of the utterances heard in a recording."""
        chosen, verdict = self._decisive(heard, wanted)
        return HearingTrial(
            condition=condition,
            kind=recording.kind,
            name=recording.name,
            speaker=recording.speaker,
            said=recording.said,
            expect=expect,
            among=recording.among,
            heard=chosen.text,
            sure=chosen.sure,
            confidence=round(chosen.confidence, 5),
            verdict=verdict,
            transcript=chosen.transcript,
            waited_ms=round(chosen.waited * 1000, 1),
            compute_ms=round(chosen.compute_ms, 1),
            spoke_up=spoke_up,
        )

    def _decisive(self, heard: list[Heard], wanted: Expectation) -> tuple[Heard, str]:
        """Return the first utterance acted on, else the likeliest: as ``callout hear`` does."""
        outcomes = [
            (h, judge_heard(h, wanted, self._tables, self._commands).verdict) for h in heard
        ]
        for h, verdict in outcomes:
            if verdict is not Verdict.UNCLEAR:
                return h, verdict.value
        best = max(heard, key=lambda h: h.confidence, default=Heard(text=""))
        return replace(best), Verdict.UNCLEAR.value


def _expected(recording: CorpusRecording, number: int) -> str:
    among = recording.among
    return recording.said if recording.kind is CorpusKind.REPLY else among[number % len(among)]


def _quiet(samples: Samples) -> Samples:
    rng = np.random.default_rng(len(samples))
    hiss = rng.normal(0.0, 3.0, len(samples) + SAMPLE_RATE)
    hiss[SAMPLE_RATE // 2 : SAMPLE_RATE // 2 + len(samples)] += samples
    return np.clip(hiss, -32768, 32767).astype(np.int16)


def _blocks(samples: Samples) -> list[Samples]:
    return [samples[i : i + BLOCK] for i in range(0, len(samples), BLOCK)]
