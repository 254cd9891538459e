"""What a session would have decided about a recording."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callout.app.list_files.typed_replies import TypedQuestion, expectation_of
from callout.app.listening.engines import open_recogniser
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.expectation import Expectation, WrongReply
from callout.core.model.heard import Heard
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import sound_devices as sentences
from callout.core.understanding.candidate_sets import candidates_for
from callout.core.understanding.hearing_verdict import UNRELATED, judge_heard
from callout.errors import AudioInvalid, CalloutError
from callout.hearing.segmenter import Segmenter
from callout.hearing.turns import Turns, hear_all
from callout.hearing.voices import Voice
from callout.hearing.wav_file import WavSource

UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class RecordingDecided:
    """One recording's outcome."""

    file: str
    judgement: Judgement
    heard: Heard
    error: CalloutError | None = None

    def line(self) -> dict[str, Any]:
        """Return the outcome as plain data, with milliseconds from the end of speech to the
        verdict.
        """
        return {
            "file": self.file,
            "verdict": self.judgement.verdict.value,
            "reply": self.judgement.reply,
            "heard": self.heard.text if self.heard.sure else self.heard.transcript,
            "confidence": round(self.heard.confidence, 4),
            "ms": round(self.heard.waited * 1000.0 + self.heard.compute_ms, 1),
            "code": self.judgement.code,
            "reason": self.judgement.reason,
            "transcript": self.heard.transcript,
            "guess": self.heard.text,
            "compute_ms": round(self.heard.compute_ms, 1),
        }


def expected_reply(expect: Iterable[str], against: Iterable[str]) -> Expectation:
    """Return the expectation of ``--expect`` and ``--against`` texts.

    Each ``against`` text is a wrong reply, or several with | between them.
    """
    asked = expectation_of(TypedQuestion("", {"expect": tuple(expect)}))
    tables = default_tables()
    wrong = [w.strip() for text in against for w in text.split("|") if w.strip()]
    accepted = {a.text for a in asked.accepted}
    named = tuple(WrongReply(parse_answer(w, tables)) for w in wrong if w not in accepted)
    return Expectation(accepted=asked.accepted, wrong=named)


def decide_all(
    files: Iterable[Path],
    wanted: Expectation,
    engine: str = "auto",
    voices: Sequence[Voice] = (),
) -> Iterator[RecordingDecided]:
    """Yield what a session would have decided about each recording; loads the engine once.

    voices: enrolled people who may be speaking.
    """
    turns = Turns(Segmenter(), open_recogniser(engine, voices))
    tables, commands = default_tables(), default_commands()
    candidates = candidates_for(wanted, commands.off_hold().groups(), tables)
    for file in files:
        turns.listen_for(candidates)  # forgets the previous file
        try:
            utterances = hear_all(WavSource(file).blocks(), turns)
        except AudioInvalid as error:
            nothing = Judgement(Verdict.UNCLEAR, UNREADABLE, error.message)
            yield RecordingDecided(str(file), nothing, Heard(text=""), error)
            continue
        yield _decisive_outcome(
            str(file), [(judge_heard(h, wanted, tables, commands), h) for h in utterances]
        )
    turns.close()


def _decisive_outcome(file: str, outcomes: list[tuple[Judgement, Heard]]) -> RecordingDecided:
    """Return the first utterance that a session would have acted on, else the most likely one."""
    if not outcomes:
        silence = Judgement(Verdict.UNCLEAR, "no-speech", sentences.NO_SPEECH)
        return RecordingDecided(file, silence, Heard(text=""))
    for judged, heard in outcomes:
        if judged.verdict is not Verdict.UNCLEAR:
            return RecordingDecided(file, judged, heard)
    replies = [o for o in outcomes if o[0].code != UNRELATED] or outcomes
    judged, heard = max(replies, key=lambda o: o[1].confidence)
    return RecordingDecided(file, judged, heard)
