"""The microphone: callback, queue, resampling, and a device that goes away."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Iterator

import numpy as np
import pytest

from callout.errors import DeviceNotFound, EngineUnavailable
from callout.hearing.microphone import BLOCK, MicrophoneSource
from tests.fakes import FakeSoundDevice, device


def _tone(rate: int, seconds: float) -> np.ndarray:
    return 0.5 * np.sin(2 * np.pi * 440 * np.arange(round(rate * seconds)) / rate)


def _open(library: FakeSoundDevice, name: str | None = None, **options: object) -> MicrophoneSource:
    return MicrophoneSource(name, library=library, watchdog_s=0.05, start_s=0.05, **options)  # type: ignore[arg-type]


def _take(source: MicrophoneSource, taken: list[np.ndarray]) -> None:
    for block in source.blocks():
        taken.append(block)


def _date(source: MicrophoneSource, dates: list[float]) -> None:
    for _ in source.blocks():
        dates.append(source.captured_at)


def _until_lost(source: MicrophoneSource) -> np.ndarray:
    taken: list[np.ndarray] = []
    with pytest.raises(DeviceNotFound):
        _take(source, taken)
    assert all(len(b) == BLOCK and b.dtype == np.int16 for b in taken)
    return np.concatenate([np.zeros(0, np.int16), *taken])


def test_the_device_s_own_rate_is_resampled_across_callbacks() -> None:
    library = FakeSoundDevice(device("Desk", rate=44_100.0))
    source = _open(library)
    assert (source.name, source.rate) == ("Desk", 44_100)
    sound = _tone(44_100, 1.0)[:, None]
    for start in range(0, len(sound), 441):
        library.streams[0].feed(sound[start : start + 441])
    heard = _until_lost(source).astype(float)
    assert 15_000 < len(heard) <= 16_000
    expected = _tone(16_000, 1.0)[: len(heard)] * 32768
    assert np.abs(heard - expected)[500:].max() < 330
    source.close()


def test_each_block_is_dated_by_when_the_device_gave_it() -> None:
    library = FakeSoundDevice(device("Desk", rate=48_000.0))
    source = _open(library)
    before = time.monotonic()
    for _ in range(10):
        library.streams[0].feed(np.zeros((4_800, 1)))
    after = time.monotonic()
    threading.Event().wait(0.3)  # nobody takes them for a while
    dates: list[float] = []
    with pytest.raises(DeviceNotFound):
        _date(source, dates)
    assert len(dates) >= 28  # the rest is still in the resampler
    assert all(before - 0.3 <= at <= after for at in dates)
    source.close()


def test_two_channels_become_one() -> None:
    library = FakeSoundDevice(device("Pair", inputs=2, rate=16_000.0))
    library.refused_shapes.add((1, 16_000))
    source = _open(library)
    assert library.streams[-1].channels == 2
    both = np.stack([_tone(16_000, 0.32), np.zeros(5120)], axis=1)
    library.streams[-1].feed(both)
    assert np.abs(_until_lost(source)).max() == pytest.approx(0.25 * 32768, rel=0.02)
    source.close()


def test_a_refused_rate_falls_back_to_a_common_one() -> None:
    library = FakeSoundDevice(device("Odd", rate=384_000.0))
    library.refused_shapes.add((1, 384_000))
    source = _open(library)
    assert source.rate == 48_000
    assert library.streams[0].closed
    source.close()


def test_refused_altogether_names_device_reason_and_remedy() -> None:
    library = FakeSoundDevice(device("Shy", rate=16_000.0))
    library.refused_shapes |= {(1, r) for r in (16_000, 44_100, 48_000)}
    with pytest.raises(
        DeviceNotFound, match=r"Shy cannot be opened: Invalid sample rate"
    ) as caught:
        _open(library)
    assert "callout devices" in caught.value.hint


def test_overflows_and_a_full_queue_are_counted() -> None:
    library = FakeSoundDevice(device("Desk", rate=16_000.0))
    source = _open(library, queue_blocks=4)
    block = np.zeros((512, 1))
    for _ in range(6):
        library.streams[0].feed(block)
    assert source.dropped == 2
    assert len(_until_lost(source)) == 4 * 512
    library.streams[0].feed(block, overflow=True)
    assert source.dropped == 3
    source.close()


def test_a_fault_in_the_callback_is_not_lost() -> None:
    library = FakeSoundDevice(device("Desk"))
    source = _open(library)
    library.streams[0].options["callback"](None, 0, None, None)
    with pytest.raises(DeviceNotFound, match="input_overflow"):
        next(iter(source.blocks()))
    source.close()


def test_a_device_taken_away_comes_back_under_another_number() -> None:
    library = FakeSoundDevice(device("Built in"), device("Headset", rate=16_000.0))
    source = _open(library, "headset")
    library.streams[0].feed(np.full((1024, 1), 0.1))
    library.streams[0].unplug()
    library.present.pop()
    assert len(_until_lost(source)) == 1024
    with pytest.raises(DeviceNotFound, match='no microphone called "headset"'):
        source.reopen()
    library.present.insert(0, device("Headset", rate=48_000.0))
    source.reopen()
    assert source.rate == 48_000
    assert library.streams[-1].options["device"] == 0
    library.streams[-1].feed(np.full((5_000, 1), 0.1))
    assert len(_until_lost(source)) == 1536  # of 1666: whole blocks
    assert library.starts == 2
    source.close()
    assert all(stream.closed for stream in library.streams)


def test_a_device_that_goes_silent_is_noticed() -> None:
    source = _open(FakeSoundDevice(device("Stuck")))
    with pytest.raises(DeviceNotFound, match="Stuck has stopped sending sound") as caught:
        next(iter(source.blocks()))
    assert "keyboard" in caught.value.hint
    source.close()


def test_sound_from_before_a_loss_is_not_heard_after_it() -> None:
    library = FakeSoundDevice(device("Desk", rate=16_000.0))
    source = _open(library)
    library.streams[0].feed(np.full((1024, 1), 0.9))
    source.reopen()
    library.streams[-1].feed(np.zeros((512, 1)))
    assert not _until_lost(source).any()
    source.close()


def test_close_ends_a_waiting_listener() -> None:
    source = MicrophoneSource(library=FakeSoundDevice(device("Desk")), start_s=600)
    blocks: Iterator[np.ndarray] = iter(source.blocks())
    ended = threading.Event()

    def listen() -> None:
        assert next(blocks, None) is None
        ended.set()

    listener = threading.Thread(target=listen)
    listener.start()
    source.close()
    source.close()
    assert ended.wait(timeout=30)
    listener.join()


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (None, "Desk"),
        ("USB Headset", "USB Headset"),
        ("usb headset", "USB Headset"),
        ("cam", "Cam"),
    ],
)
def test_devices_are_found_by_name(wanted: str | None, found: str) -> None:
    library = FakeSoundDevice(
        device("Speakers", inputs=0, outputs=2),
        device("Desk"),
        device("USB Headset Pro"),
        device("USB Headset"),
        device("Cam"),
        default_input=1,
    )
    source = _open(library, wanted)
    assert source.name == found
    source.close()


@pytest.mark.parametrize(
    ("wanted", "said"), [("lapel", "Desk A, Desk B"), ("desk", "Desk A, Desk B")]
)
def test_a_name_that_fits_none_or_many_lists_them(wanted: str, said: str) -> None:
    library = FakeSoundDevice(device("Desk A"), device("Desk B"))
    with pytest.raises(DeviceNotFound) as caught:
        _open(library, wanted)
    assert said in caught.value.hint


def test_no_device_at_all() -> None:
    with pytest.raises(DeviceNotFound, match="There is no microphone"):
        _open(FakeSoundDevice(device("Speakers", inputs=0, outputs=2)))


_OPEN_REAL = """
import sys
{before}
from callout.errors import CalloutError
from callout.hearing.microphone import MicrophoneSource
try:
    MicrophoneSource().close()
except CalloutError as error:
    print(type(error).__name__, error.message, "|", error.hint)
else:
    print("opened")
"""


def _open_real(before: str) -> subprocess.CompletedProcess[str]:
    script = _OPEN_REAL.format(before=before)
    return subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=300, check=True
    )


def test_without_the_portaudio_library() -> None:
    hide = "import ctypes.util; ctypes.util.find_library = lambda name: None"
    done = _open_real(hide if sys.platform == "linux" else "sys.modules['sounddevice'] = None")
    assert done.stdout.startswith(EngineUnavailable.__name__)
    assert "install" in done.stdout.partition("|")[2]


def test_without_sounddevice() -> None:
    done = _open_real("sys.modules['sounddevice'] = None")
    assert "sounddevice library is not installed" in done.stdout
    assert "pip install sounddevice" in done.stdout


def test_this_machine_opens_or_says_why_and_prints_nothing_else() -> None:
    done = _open_real("")
    assert done.stdout.startswith(("opened", "DeviceNotFound", "EngineUnavailable"))
    assert done.stderr == ""
