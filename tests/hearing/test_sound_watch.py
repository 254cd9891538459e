"""What is told of the sound, and when: once a fault, counted each time, over when it is better."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from callout.app.listening.microphone_booth import BoothWord, Totals
from callout.app.listening.room_verdict import judge_room
from callout.core.conversation.records import Disturbance
from callout.core.conversation.sound import SoundNotice
from callout.core.model.heard import Heard
from callout.hearing.level import Gauge, Level
from callout.hearing.segmenter import BLOCK, BLOCK_SECONDS
from callout.hearing.sound_faults import CLIPPED, TOO_LOUD
from callout.hearing.sound_watch import CLEAR_S, CLEAR_UTTERANCES, COUNT_S, SoundWatch
from callout.ports.hearing import Samples

HEARD = Heard("on", "on", 0.9, sure=True)
UNSURE = replace(HEARD, sure=False)
NOISE = Heard("", "")
T = np.arange(BLOCK) / 16_000


def tone(db: float) -> Samples:
    """Return a block whose root mean square is ``db`` below full scale."""
    wave = np.sqrt(2) * 32768 * 10 ** (db / 20) * np.sin(2 * np.pi * 500 * T)
    samples: Samples = wave.astype(np.int16)
    return samples


@dataclass
class Source:
    """A source that says what it has lost."""

    name: str = "by hand"
    gauge: Gauge = field(default_factory=Gauge)
    dropped: int = 0

    def blocks(self) -> list[Samples]:
        return []

    def close(self) -> None:
        pass


@dataclass
class Told:
    """A detector that has been told where speech is."""

    speaking: bool = False
    clock: float = 0.0
    last_speech: float = 0.0


class Desk:
    """A watch with its hands."""

    def __init__(self) -> None:
        self.source, self.detector = Source(), Told()
        self.watch = SoundWatch(self.source, self.detector)  # type: ignore[arg-type]

    def hear(
        self,
        voice_db: float = -25.0,
        room_db: float = -60.0,
        clipped: float = 0.0,
        heard: Heard = HEARD,
        blocks: int = 12,
    ) -> list[SoundNotice]:
        """Let a room and then a voice be heard; return what is told of it."""
        for speech in [False] * 12 + [True] * blocks:
            self.detector.clock += BLOCK_SECONDS
            self.detector.speaking = speech
            self.detector.last_speech = self.detector.clock if speech else 0.0
            self.watch.arrived()
            level = Level(BLOCK_SECONDS, clipped=clipped if speech else 0.0)
            self.watch.listen(tone(voice_db if speech else room_db), level)
        told = self.watch.utterance(heard)
        self.detector.speaking = False
        return told

    def pass_time(self, seconds: float) -> list[SoundNotice]:
        told = []
        for _ in range(round(seconds / BLOCK_SECONDS)):
            self.watch.arrived()
            told += self.watch.lost()
        return told


def test_a_good_voice_in_a_good_room_is_nothing_to_tell() -> None:
    desk = Desk()
    assert [desk.hear() for _ in range(5)] == [[]] * 5
    assert desk.pass_time(2 * CLEAR_S) == []


def test_an_overloaded_microphone_is_told_once_and_counted_each_time() -> None:
    desk = Desk()
    first, second, third = (desk.hear(clipped=0.05)[0] for _ in range(3))
    assert first == SoundNotice(Disturbance.OVERLOADED, 1, TOO_LOUD, 0.05, told=True)
    assert (second.count, second.told, third.told) == (1, False, False)


def test_it_is_over_after_some_clear_utterances_and_then_worth_telling_again() -> None:
    desk = Desk()
    desk.hear(clipped=0.05)
    clear = [desk.hear() for _ in range(CLEAR_UTTERANCES - 1)]
    assert clear == [[]] * len(clear)
    desk.hear(clipped=0.05)
    found = [desk.hear() for _ in range(CLEAR_UTTERANCES)]
    assert found[:-1] == [[]] * (CLEAR_UTTERANCES - 1), "it has to be clear so often in a row"
    (over,) = found[-1]
    assert (over.what, over.over, over.told, over.count) == (Disturbance.OVERLOADED, True, True, 0)
    assert desk.hear() == []
    assert desk.hear(clipped=0.05)[0].told


def test_too_loud_and_too_quiet_never_stand_side_by_side() -> None:
    """Two people, one near and one far: each is told once, and the screen has the last."""
    desk = Desk()
    shown: set[Disturbance] = set()
    told = []
    for _ in range(3):
        for notice in (*desk.hear(clipped=0.05), *desk.hear(-50.0)):
            (shown.discard if notice.over else shown.add)(notice.what)
            told += [notice.what] if notice.told else []
            assert len(shown) <= 1
    assert told == [Disturbance.OVERLOADED, Disturbance.FAINT]
    for _ in range(CLEAR_UTTERANCES):
        told += [n.what for n in desk.hear()]
    assert told[2:] == [Disturbance.FAINT], "what is not on the screen is not called better"


@pytest.mark.parametrize(
    ("voice_db", "room_db", "heard", "said"),
    [(-50.0, -70.0, HEARD, "too quiet"), (-30.0, -33.0, UNSURE, "above the noise")],
)
def test_a_faint_voice_is_told_with_what_to_do(
    voice_db: float, room_db: float, heard: Heard, said: str
) -> None:
    (notice,) = Desk().hear(voice_db, room_db, heard=heard)
    assert notice.what is Disturbance.FAINT
    assert said in notice.message
    assert notice.measured == pytest.approx(voice_db, abs=0.2)


@pytest.mark.parametrize(
    ("voice_db", "room_db", "heard", "blocks"),
    [
        (-30.0, -33.0, HEARD, 12),  # understood all the same
        (-50.0, -70.0, NOISE, 12),  # a breath
        (-50.0, -70.0, HEARD, 4),  # a click
        (-40.0, -33.0, HEARD, 12),  # the detector took the noise for speech
        (-44.0, -60.0, HEARD, 12),
        (-30.0, -40.0, HEARD, 12),
    ],
)
def test_no_voice_or_a_plain_one_is_not_called_faint(
    voice_db: float, room_db: float, heard: Heard, blocks: int
) -> None:
    assert Desk().hear(voice_db, room_db, heard=heard, blocks=blocks) == []


def test_what_overloads_while_nobody_speaks_is_not_told() -> None:
    desk = Desk()
    for _ in range(20):
        desk.watch.arrived()
        desk.watch.listen(tone(-3.0), Level(BLOCK_SECONDS, clipped=0.5))
    assert desk.hear() == []


def test_lost_blocks_are_told_at_once_and_their_number_now_and_then() -> None:
    desk = Desk()
    desk.source.dropped = 7  # before anybody listened
    assert desk.pass_time(1.0) == []
    desk.source.dropped += 1
    (first,) = desk.pass_time(BLOCK_SECONDS)
    assert (first.count, first.told) == (1, True)
    assert first.message == "1 block of sound was lost. Close other programs."
    desk.source.dropped += 4
    assert desk.pass_time(COUNT_S / 2) == []
    desk.source.dropped += 5
    (later,) = desk.pass_time(COUNT_S)
    assert (later.count, later.told) == (9, False)
    assert later.message.startswith("10 blocks of sound were lost")


def test_a_reply_gives_what_is_known_and_a_clear_minute_ends_it() -> None:
    desk = Desk()
    desk.pass_time(1.0)
    desk.source.dropped += 1
    desk.pass_time(0.5)
    desk.source.dropped += 2
    desk.watch.overflow()
    (notice,) = desk.hear()
    assert (notice.what, notice.count) == (Disturbance.LOST, 3)
    (over,) = desk.pass_time(CLEAR_S + 1)
    assert over == SoundNotice(
        Disturbance.LOST, 0, "No more sound is being lost.", None, True, True
    )
    desk.source.dropped += 1
    assert [n.told for n in desk.pass_time(0.1)] == [True]


@pytest.mark.parametrize("clipped", [CLIPPED / 2, CLIPPED * 2])
@pytest.mark.parametrize("voice_db", [-46.0, -44.0])
def test_trying_a_microphone_and_using_it_come_to_the_same(clipped: float, voice_db: float) -> None:
    """One rule: what ``callout mic`` advises is what a session tells, word for word."""
    totals = Totals(clipped=clipped, peak_db=-3.0)
    for speech in (False, True):
        for _ in range(20):
            totals.speech.take(tone(voice_db if speech else -75.0), speech=speech)
    said = [BoothWord("on", HEARD, tone(voice_db), Level())] * 5
    advised = judge_room(said, totals).advice
    told = tuple(n.message for n in Desk().hear(voice_db, -75.0, clipped))
    assert told == advised


def test_a_gauge_gives_a_large_piece_of_a_file_block_by_block() -> None:
    """Half of four seconds is clipped; it shows at the blocks where it is."""
    clean = 0.4 * np.sin(2 * np.pi * 300 * np.arange(32_000) / 16_000)
    gauge = Gauge()
    gauge.take(
        np.concatenate([clean, np.clip(5 * clean, -1, 1)])[:, None].astype(np.float32), 16_000
    )
    shares = [gauge.reading(BLOCK_SECONDS).clipped for _ in range(125)]
    assert [share > CLIPPED for share in shares] == [False] * 62 + [True] * 63
    assert gauge.reading(BLOCK_SECONDS).seconds == 0.0


@pytest.mark.parametrize("frames", [160, 441, 480, 1024, 4096])
def test_a_gauge_never_falls_behind_a_live_device(frames: int) -> None:
    """A minute of blocks: what is read has come within the last device block and a half."""
    gauge, fed, read = Gauge(), 0.0, 0.0
    piece = np.zeros((frames, 1), np.float32)
    for block in range(1, 2_000):
        while fed < block * BLOCK_SECONDS:
            gauge.take(piece, 48_000)
            fed += frames / 48_000
        read += gauge.reading(BLOCK_SECONDS).seconds
        assert fed - read < frames / 48_000 + BLOCK_SECONDS
