"""Where speech sounds: the stream, with a stand-in for the audio library, and a program."""

from __future__ import annotations

import sys
import threading

import numpy as np
import pytest

from callout import portaudio
from callout.core.model.verdict import Verdict
from callout.errors import DeviceNotFound, EngineUnavailable
from callout.speaking import outlets
from callout.speaking.outlets import ProgramOutlet, StreamOutlet, found_outlet
from callout.speaking.played_log import PlayedLog
from callout.speaking.tones import verdict_tone
from tests.fakes import FakeSoundDevice, device

TONE = (0.5 * np.sin(2 * np.pi * 440 * np.arange(24_000) / 24_000)).astype(np.float32)
BOX = device("Box", inputs=0, outputs=2, rate=48_000.0)
NEVER = threading.Event()


def _sound(library: FakeSoundDevice) -> np.ndarray:
    return np.concatenate([frames[:, 0] for frames, _ in library.played])


def test_parts_follow_each_other_without_a_gap_at_the_device_s_rate() -> None:
    library = FakeSoundDevice(BOX)
    outlet = StreamOutlet(library=library)
    assert outlet.play([TONE[:7_000], TONE[7_000:7_001], TONE[7_001:]], 24_000, NEVER)
    outlet.close()
    sound = _sound(library)
    whole = sound[np.abs(sound) > 1e-9]  # this driver is faster than the sound can be made
    expected = 0.5 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)
    assert len(whole) == pytest.approx(48_000, abs=60)
    middle = slice(500, 47_000)
    assert np.abs(whole[middle] - expected[48_000 - len(whole) :][middle]).max() < 0.05
    assert outlet.ended - outlet.began > 0


def test_the_stream_is_kept_from_text_to_text() -> None:
    library = FakeSoundDevice(BOX)
    outlet = StreamOutlet(library=library)
    for _ in range(3):
        assert outlet.play([TONE[:2_400]], 24_000, NEVER)
    assert len({id(options) for _, options in library.played}) == 1
    outlet.close()
    outlet.close()
    assert not np.isnan(_sound(library)).any()


def test_all_that_is_kept_for_the_ear_has_the_device_s_rate() -> None:
    """A driver asks for sound before it has said that it started."""
    log = PlayedLog()
    outlet = StreamOutlet(log=log, library=FakeSoundDevice(BOX))
    outlet.open()
    outlet.close()
    assert {part.rate for part in log.taken()} == {48_000}


def test_a_cut_drops_what_is_due() -> None:
    library, cut = FakeSoundDevice(BOX), threading.Event()
    outlet = StreamOutlet(library=library)

    def parts() -> object:
        for n in range(1_000):
            if n == 2:
                cut.set()
            yield TONE

    assert not outlet.play(parts(), 24_000, cut)  # type: ignore[arg-type]
    count = len(library.played)
    assert outlet.play([], 24_000, NEVER)
    assert sum(bool(frames.any()) for frames, _ in library.played[count + 1 :]) <= 2
    outlet.close()


def test_what_is_dropped_while_the_driver_takes_a_part_is_not_played_later() -> None:
    outlet = _opened(PlayedLog())
    later = threading.Event()

    class Part(np.ndarray):
        """Sound of which the first piece is taken just when everything is dropped."""

        def __getitem__(self, place: object) -> object:
            if not later.is_set():
                later.set()
                outlet._stream = None  # nothing to stop: only what is due is dropped
                outlet.close()
            return np.asarray(self)[place]  # type: ignore[index]

    outlet._put(TONE.view(Part))
    first = _played_by_hand(outlet, 480)
    assert later.is_set()
    assert first.any(), "the piece in hand is still played"
    assert not _played_by_hand(outlet, 48_000).any()


def _played_by_hand(outlet: StreamOutlet, count: int) -> np.ndarray:
    """Return what the driver is given in buffers of 10 ms."""
    heard = []
    for _ in range(count // 480):
        frames = np.zeros((480, 1), np.float32)
        outlet._callback(frames, 480, None, None)
        heard.append(frames[:, 0])
    return np.concatenate(heard)


def _opened(log: PlayedLog) -> StreamOutlet:
    outlet = StreamOutlet(log=log, library=FakeSoundDevice(BOX))
    outlet._stream, outlet._rate = object(), 48_000
    return outlet


def test_speech_gives_way_to_a_tone_and_comes_back_without_a_click() -> None:
    log = PlayedLog()
    outlet, speech = _opened(log), np.full(48_000, 0.5, np.float32)
    outlet._put(speech)
    before = _played_by_hand(outlet, 4_800)
    outlet.sound(np.zeros(9_600, np.float32), 48_000)
    whole = np.concatenate([before, _played_by_hand(outlet, 43_200)])
    assert np.allclose(whole[:4_800], 0.5)
    assert np.allclose(whole[4_800 + 480 : 4_800 + 480 + 9_600], 0.5 * 0.35)
    assert np.allclose(whole[4_800 + 960 + 9_600 :], 0.5)
    assert np.abs(np.diff(whole)).max() < 0.002
    kept = np.concatenate([part.samples for part in log.taken()])
    assert np.array_equal(kept, whole), "the ear takes out what was heard, tone and all"


def test_a_tone_sounds_over_speech_and_without_it() -> None:
    outlet, tone = _opened(PlayedLog()), verdict_tone(Verdict.MISMATCH)
    outlet.sound(tone, 48_000)
    heard = _played_by_hand(outlet, 48_000)
    assert np.array_equal(heard[480 : 480 + len(tone)], tone)
    outlet._put(np.full(48_000, 0.5, np.float32))
    outlet.sound(tone, 48_000)
    over = _played_by_hand(outlet, 48_000)[480 : 480 + len(tone)]
    assert np.allclose(over - tone, 0.5 * 0.35, atol=1e-6)


def test_a_device_without_mono_gets_both_channels_and_a_refusing_one_is_named() -> None:
    library = FakeSoundDevice(BOX)
    library.refused_shapes.add((1, 48_000))
    outlet = StreamOutlet(library=library)
    assert outlet.play([TONE[:480]], 24_000, NEVER)
    outlet.close()
    frames = next(f for f, _ in library.played if f.any())
    assert np.array_equal(frames[:, 0], frames[:, 1])
    library.refused_shapes.add((2, 48_000))
    with pytest.raises(DeviceNotFound, match="Box cannot be opened"):
        StreamOutlet(library=library).open()


def test_a_device_that_takes_nothing_any_more_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(outlets, "_STALL_S", 0.05)
    library = FakeSoundDevice(BOX)
    library.stalled.set()
    with pytest.raises(DeviceNotFound, match="Box no longer accepts sound"):
        StreamOutlet(library=library).play([TONE], 24_000, NEVER)


def test_when_devices_are_read_anew_the_stream_is_let_go_and_opens_again() -> None:
    library = FakeSoundDevice(BOX)
    outlet = StreamOutlet(library=library)
    assert outlet.play([TONE[:480]], 24_000, NEVER)
    portaudio.refresh_devices(library)
    assert outlet._stream is None
    assert outlet.play([TONE[:480]], 24_000, NEVER)
    outlet.close()
    assert not portaudio._open


def test_without_portaudio_a_program_plays_and_is_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse() -> None:
        raise EngineUnavailable("no PortAudio", "install it")

    monkeypatch.setattr(portaudio, "load_library", refuse)
    reads = "import sys, soundfile; assert len(soundfile.read(sys.argv[1])[0]) == 24001"
    monkeypatch.setattr(portaudio, "PLAYERS", ([sys.executable, "-c", reads],))
    outlet = found_outlet()
    assert outlet.play([TONE], 24_000, NEVER)
    with pytest.raises(EngineUnavailable, match="could not play"):
        outlet.play([TONE[:10]], 24_000, NEVER)
    outlet.close()
    cut, sleeper = threading.Event(), ProgramOutlet([sys.executable, "-c", "input()"])
    sleeper._command = [sys.executable, "-c", "import time; time.sleep(3600)"]
    threading.Timer(0.1, cut.set).start()
    assert not sleeper.play([TONE], 24_000, cut)
    sleeper.close()
    monkeypatch.setattr(portaudio, "PLAYERS", (["no-such-program"],))
    with pytest.raises(EngineUnavailable, match="no PortAudio"):
        found_outlet()
