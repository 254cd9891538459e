"""Opens what ``callout mic`` needs, and puts its answer into words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from callout.app.listening.enrolling import Step, learn_voice, record_takes
from callout.app.listening.microphone_booth import Booth, BoothWord, LevelReading, word_set
from callout.app.listening.room_verdict import QUIET_S, WORDS, Room, RoomVerdict, judge_room
from callout.core.sentences import sound as sentences
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.level import SILENT_DB
from callout.hearing.voices import Voice, checked_name, keep_voice
from callout.ports.hearing import AudioSource

RIVALS = (*WORDS, "off", "right", "five", "eleven", "closed", "set", "up", "down")
"""Words that the five words must be told apart from."""


@dataclass(frozen=True, slots=True)
class TriedRoom:
    """A microphone tried."""

    microphone: str
    said: tuple[BoothWord | None, ...]
    verdict: RoomVerdict

    @property
    def usable(self) -> bool:
        """False if it will not work as things are."""
        return self.verdict.room is not Room.BAD

    def lines(self) -> Iterator[str]:
        """Yield the outcome for a person."""
        found = self.verdict
        snr = "not measurable" if found.snr_db is None else f"{found.snr_db:.0f} dB"
        voice = "none heard" if found.speech_db <= SILENT_DB else f"{found.speech_db:.0f} dB"
        noise = "none" if found.noise_db <= SILENT_DB else f"{found.noise_db:.0f} dB"
        yield f"Microphone: {self.microphone}"
        yield sentences.levels_measured(voice, noise, snr)
        yield sentences.words_understood(found.right, found.words)
        yield found.sentence
        if found.share:
            yield found.share
        yield from (f"  - {line}" for line in found.advice)

    def plain(self) -> dict[str, Any]:
        """Return the outcome as plain data."""
        rows = [
            {
                "asked": word,
                "heard": _heard_words(one),
                "sure": bool(one and one.heard.sure),
                "understood": bool(one and one.right),
            }
            for word, one in zip(WORDS, self.said, strict=True)
        ]
        facts = asdict(self.verdict) | {"room": self.verdict.room.value, "words": rows}
        return {"microphone": self.microphone, **facts}


def try_microphone(
    device: str,
    replies: Sequence[Path],
    tell: Callable[[str], None],
    meter: Callable[[LevelReading], None],
) -> TriedRoom:
    """Measure noise and five words; raises CalloutError if nothing can be heard at all."""
    recogniser = EmbeddedRecogniser()
    with _open_source(device, replies) as source:
        booth = Booth(source, recogniser, meter)
        if not replies:
            tell(sentences.keep_quiet(QUIET_S))
            booth.be_quiet(QUIET_S)
        tell(sentences.SAY_EACH_WORD)
        said = _ask_words(booth, tell)
        verdict = judge_room(said, booth.totals, int(getattr(source, "dropped", 0)))
        booth.close()
        return TriedRoom(source.name, tuple(said), verdict)


def enrol_voice(
    name: str,
    device: str,
    replies: Sequence[Path],
    takes: int,
    keep: Path | None,
    ask: Callable[[Step], None],
    meter: Callable[[LevelReading], None],
    tell: Callable[[str], None],
) -> tuple[Voice, Path]:
    """Enrol a voice and save it; returns it and its file."""
    name = checked_name(name)
    recogniser = EmbeddedRecogniser()
    with _open_source(device, replies) as source:
        booth = Booth(source, recogniser, meter)
        enrolment = record_takes(name, booth, recogniser, ask, takes=takes, keep=keep)
    tell(sentences.LEARNING_VOICE)
    voice = learn_voice(enrolment, recogniser)
    booth.close()
    return voice, keep_voice(voice)


def _ask_words(booth: Booth, tell: Callable[[str], None]) -> list[BoothWord | None]:
    """Ask for every word; if not even room noise is heard, stop at once."""
    said: list[BoothWord | None] = []
    for word in WORDS:
        gone = said == [None] and booth.totals.silent
        said += [None] * (len(WORDS) - 1) if gone else [_ask_word(word, booth, tell)]
        if gone:
            break
    return said


def _ask_word(word: str, booth: Booth, tell: Callable[[str], None]) -> BoothWord | None:
    tell(f"Say: {word.upper()}")
    said = booth.say(word, word_set(RIVALS))
    tell(f"  {_word_result(said)}")
    return said


def _word_result(said: BoothWord | None) -> str:
    if said is None:
        return sentences.NOTHING_HEARD
    if said.right:
        return f'Understood: "{said.heard.text}".'
    if said.heard.sure:
        return sentences.mistaken_for(said.heard.text)
    return sentences.not_sure_heard(_heard_words(said))


def _heard_words(said: BoothWord | None) -> str:
    return (said.heard.transcript or said.heard.text) if said else ""


@contextmanager
def _open_source(device: str, replies: Sequence[Path]) -> Iterator[AudioSource]:
    source = _recorded_source(replies) if replies else _live_source(device)
    try:
        yield source
    finally:
        source.close()


def _recorded_source(replies: Sequence[Path]) -> AudioSource:
    from callout.hearing.played import PlayedSource, recordings_in

    recordings = iter(recordings_in(replies))
    return PlayedSource(lambda: next(recordings, None), before=0.3, after=0.8)


def _live_source(device: str) -> AudioSource:
    from callout.hearing.microphone import MicrophoneSource

    return MicrophoneSource(device or None)
