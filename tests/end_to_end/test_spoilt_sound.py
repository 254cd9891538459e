"""Real recordings, made loud, faint and full of gaps: through the ear to journal and screen."""

from __future__ import annotations

import io
import subprocess
import sys
import threading
import wave
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from rich.console import ConsoleDimensions

from callout.app.running.list_session import run_session
from callout.app.running.wishes import HearingKind, Wishes
from callout.app.shared.checklist_files import load_checklist
from callout.app.shared.settings import Settings
from callout.app.shared.tables import default_tables
from callout.core.checklist_run import records as r
from callout.core.checklist_run.summary import Summary
from callout.core.conversation import records as c
from callout.core.conversation.records import Disturbance, Disturbed
from callout.core.conversation.sound import SoundTally
from callout.core.conversation.view_model import ViewModel
from callout.core.model.candidates import CandidateSet
from callout.core.model.flight import EMPTY_FLIGHT
from callout.core.planning.run_plan import plan_for
from callout.hearing.ear import Ear
from callout.hearing.lasting import LastingMicrophone
from callout.hearing.level import SpeechLevel
from callout.hearing.segmenter import BLOCK, Segmenter
from callout.journal.jsonl_reader import read_journal
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.ports.keys import KeySink
from callout.ports.listening import ListeningSink
from callout.terminal.plain import PlainView
from callout.terminal.screen import draw_screen
from callout.web.wire import screen_json
from tests.fakes import FakeSoundDevice, device
from tests.hearing.recordings import embedded, recording

pytestmark = pytest.mark.audio

LIST = """\
callout: 1
id: three
title: Three items
phase: before-start
method: challenge-and-response
complete: three items complete
items:
  - {id: brake, challenge: Parking brake, response: on}
  - {id: avionics, challenge: Avionics master, response: off}
  - {id: beacon, challenge: Beacon, response: on}
"""
PATIENCE_S = 400.0
"""A session that hears nothing is interrupted, and its test fails."""
Mono = NDArray[np.float64]


def loud(name: str) -> Mono:
    """Return a recording eight times as loud: no converter has that many bits."""
    return recording(name).astype(np.float64) * 8.0


def at_level(name: str, speech_db: float) -> Mono:
    """Return a recording whose louder half lies at ``speech_db``."""
    whole = recording(name).astype(np.float64)
    blocks = whole[: len(whole) // BLOCK * BLOCK].reshape(-1, BLOCK)
    power = np.sort(blocks.var(axis=1))[::-1]
    spoken = power[power > power[0] / 30]
    level = SpeechLevel()
    for block in blocks[blocks.var(axis=1) >= spoken[-1]]:
        level.take(block.astype(np.int16), speech=True)
    louder: float = 10 ** ((speech_db - level.speech_db) / 20)
    return whole * louder


def in_room(spoken: Mono | Samples, floor_db: float = -75.0) -> Samples:
    """Return it in a room that hisses at ``floor_db``, as a converter of 16 bits gives it."""
    rest = np.zeros(SAMPLE_RATE)
    whole = np.concatenate([rest, spoken, rest])
    hiss = np.random.default_rng(5).normal(0, 32768 * 10 ** (floor_db / 20), len(whole))
    samples: Samples = np.clip(whole + hiss, -32768, 32767).astype(np.int16)
    return samples


class Microphone:
    """A microphone on the fake sound system, into which somebody speaks when asked."""

    def __init__(self, script: Sequence[Callable[[Microphone], None]]) -> None:
        self.library = FakeSoundDevice(device("Desk", rate=float(SAMPLE_RATE)))
        self.script = list(script)

    def speak(self, samples: Samples, lost: int = 0) -> None:
        """Give it to the driver's callback, which reports ``lost`` overflows on the way."""
        for n, at in enumerate(range(0, len(samples), BLOCK)):
            frames = samples[at : at + BLOCK, None] / 32768.0
            self.library.streams[-1].feed(frames, overflow=n < lost)

    def unplug(self) -> None:
        """Pull it out; it is found again at the second look."""
        gone, looks = self.library.present.pop(), iter(range(9))
        self.library.on_initialize = lambda: (
            self.library.present.append(gone) if next(looks) == 1 else None
        )
        self.library.streams[-1].unplug()

    def go_on(self) -> None:
        if self.script:
            self.script.pop(0)(self)


class Person:
    """An ear that has the next thing done when it is armed at first, and after each reply."""

    name = "microphone"

    def __init__(self, microphone: Microphone) -> None:
        self._microphone = microphone
        self._source = LastingMicrophone(
            library=microphone.library, retry_s=(0.01,), watchdog_s=60.0, start_s=60.0
        )
        self._inner = Ear(self._source, Segmenter(), embedded(), tail=0.0)
        self._wanted, self._armed = True, False

    def start(self, sink: ListeningSink) -> None:
        def back() -> None:
            self._wanted = True  # the session arms the ear again
            sink.on_recovery()

        self._source.on_lost, self._source.on_back = sink.on_failure, back
        self._inner.start(sink)

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        self._inner.listen(candidates, attempt)
        self._armed = True
        self._go_on()

    def taken(self) -> None:
        self._inner.taken()
        self._wanted = True
        self._go_on()

    def stop_listening(self) -> None:
        self._armed = False
        self._inner.stop_listening()

    def _go_on(self) -> None:
        if self._wanted and self._armed:
            self._wanted = False
            self._microphone.go_on()

    def tool_speaks(self, now: bool) -> None:
        self._inner.tool_speaks(now)

    def close(self) -> None:
        self._inner.close()


class Screens(PlainView):
    """Prints lines, and keeps every screen."""

    def __init__(self) -> None:
        self.out = io.StringIO()
        self.views: list[ViewModel] = []
        super().__init__(self.out)

    def show(self, view: ViewModel, news: Sequence[str]) -> None:
        self.views.append(view)
        super().show(view, news)


class Silent:
    """A keyboard that nobody touches, until all patience is at an end."""

    def start(self, sink: KeySink) -> None:
        self._patience = threading.Timer(PATIENCE_S, sink.on_interrupt)
        self._patience.start()

    def ask(self, item_id: str, *, idle: bool) -> None:
        pass

    def taken(self) -> None:
        pass

    def close(self) -> None:
        self._patience.cancel()


def run(
    folder: Path, *script: Callable[[Microphone], None]
) -> tuple[list[c.JournalRecord], Screens, Summary]:
    path = folder / "three.yaml"
    path.write_text(LIST)
    plan = plan_for(load_checklist(path), EMPTY_FLIGHT, default_tables())
    screens = Screens()
    wishes = Wishes(
        HearingKind.MICROPHONE,
        voice=False,
        listener=Person(Microphone(script)),
        keys=Silent(),
        view=screens,
    )
    summary = run_session(plan, folder / "journals", Settings(), wishes, safety="")
    (journal,) = (folder / "journals").glob("*.jsonl")
    return list(read_journal(journal).records), screens, summary


def kept(records: Sequence[c.JournalRecord]) -> list[tuple[Disturbance, int, bool]]:
    return [(x.what, x.count, x.told) for x in records if isinstance(x, Disturbed)]


def test_clipped_faint_and_lost_sound_is_told_counted_and_in_nobodys_way(tmp_path: Path) -> None:
    records, screens, summary = run(
        tmp_path,
        lambda mic: mic.speak(in_room(loud("human/on.wav"))),
        lambda mic: mic.speak(in_room(at_level("human/off.wav", -50.0))),
        lambda mic: mic.speak(in_room(loud("demo/on-1.wav")), lost=12),
    )
    assert summary.sound == SoundTally(overloaded=2, faint=1, lost=12)
    told = [(what, told) for what, count, told in kept(records) if count]
    assert [told.count((what, True)) for what in Disturbance] == [1, 1, 1]
    assert (Disturbance.OVERLOADED, False) in told, "the second is only counted"
    spoilt = [x for x in records if isinstance(x, Disturbed) and x.what is Disturbance.FAINT]
    faint, taken_off = spoilt
    assert (taken_off.over, taken_off.told) == (True, False), "the last voice was too loud"
    assert faint.measured == pytest.approx(-50.0, abs=3.0)
    assert summary.first_time == summary.total == 3
    assert not any(isinstance(x, r.Held | c.Suspended | c.Failed) for x in records)
    printed = screens.out.getvalue()
    assert printed.count("Your voice overloads the microphone. Turn its input level down.") == 1
    assert printed.count("Your voice is too quiet (-5") == 1
    assert printed.count(" of sound w") == 1
    sound = "the microphone overloaded twice; the voice was faint once; 12 blocks were lost"
    assert f"  Sound: {sound}." in printed.splitlines()
    last = screens.views[-1]
    size = ConsoleDimensions(80, 24)
    drawn = draw_screen(last, "", "", "For study only.", size, "utf-8").plain
    page = screen_json(last)["troubles"]
    for line in ("Your voice overloads the microphone", "12 blocks of sound were lost"):
        assert f"! {line}" in drawn
        assert any(line in trouble for trouble in page)


def test_a_voice_hardly_above_the_room_is_told(tmp_path: Path) -> None:
    """The room at -33 dB, the voice 3 dB above it and not understood, and then a plain one."""
    faint = in_room(at_level("human/coffee.wav", -30.0), -33.0)
    plain = [in_room(recording(f"{name}.wav")) for name in ("demo/on-1", "human/off", "demo/on-1")]
    says = [lambda mic, x=x: mic.speak(x) for x in (faint, *plain, *plain)]
    records, screens, _ = run(tmp_path, *says)
    assert kept(records)[0] == (Disturbance.FAINT, 1, True)
    assert " dB above the noise" in screens.out.getvalue()


def test_a_microphone_pulled_out_and_back_is_told_and_the_list_goes_on(tmp_path: Path) -> None:
    def say_and_pull(mic: Microphone) -> None:
        mic.speak(in_room(recording("human/off.wav"))[: SAMPLE_RATE * 5 // 4])  # amid the word
        mic.unplug()

    records, screens, summary = run(
        tmp_path,
        lambda mic: mic.speak(in_room(recording("demo/on-1.wav"))),
        say_and_pull,
        lambda mic: mic.speak(in_room(recording("human/off.wav"))),
        lambda mic: mic.speak(in_room(recording("demo/on-1.wav"))),
    )
    kinds = [type(x) for x in records if isinstance(x, c.Failed | c.Recovered)]
    assert kinds == [c.Failed, c.Recovered]
    assert (summary.first_time, summary.failures) == (3, 1)
    printed = screens.out.getvalue()
    assert "The microphone Desk has stopped sending sound." in printed
    assert "The microphone is back." in printed
    assert screens.views[-1].troubles == ()


def test_a_session_killed_after_spoilt_sound_goes_on_and_the_count_with_it(tmp_path: Path) -> None:
    (tmp_path / "three.yaml").write_text(LIST)
    with wave.open(str(tmp_path / "loud.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(SAMPLE_RATE)
        file.writeframes(in_room(loud("human/on.wav")).tobytes())
    command = [sys.executable, "-m", "callout"]
    options = ["--journal-dir", str(tmp_path / "j"), "--plain", "--silent"]
    played = ["--engine", "embedded", "--replies", str(tmp_path / "loud.wav")]
    with subprocess.Popen(
        [*command, "run", str(tmp_path / "three.yaml"), *played, *options],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as process:  # fmt: skip
        assert process.stdout
        for line in process.stdout:
            if "Avionics master?" in line:
                break
        process.kill()
        process.wait()
    done = subprocess.run(
        [*command, "resume", *options, "--hearing", "keyboard"],
        input="off\non\n", capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert "Continuing at Avionics master. Last completed: Parking brake, on." in done.stdout
    assert "  Sound: the microphone overloaded once." in done.stdout.splitlines()
    assert "Answered right first time: 3 of 3" in done.stdout
    (journal,) = (tmp_path / "j").glob("*.jsonl")
    replayed = subprocess.run(
        [*command, "replay", str(journal)], capture_output=True, text=True, check=True
    )
    assert "Sound overloaded (1 utterance)." in replayed.stdout
