"""A microphone lost and found while a session runs."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from callout.errors import EngineUnavailable
from callout.hearing.lasting import LastingMicrophone
from tests.fakes import FakeSoundDevice, device

SOUND = np.full((1024, 1), 0.1)


class _Story:
    """What was told, in order."""

    def __init__(self) -> None:
        self.told: list[str] = []

    def lost(self, message: str, hint: str) -> None:
        assert hint
        self.told.append(f"lost: {message}")

    def back(self) -> None:
        self.told.append("back")


def _open(library: FakeSoundDevice, story: _Story, name: str | None = None) -> LastingMicrophone:
    return LastingMicrophone(
        name,
        on_lost=story.lost,
        on_back=story.back,
        retry_s=(0.0, 0.01),
        library=library,
        watchdog_s=0.05,
        start_s=0.05,
    )


def _feed_when_opened(library: FakeSoundDevice) -> None:
    """Let every stream give sound as soon as it starts."""
    make = library.InputStream

    def opened(**options: object) -> object:
        stream = make(**options)
        begin = stream.start

        def start() -> None:
            begin()
            stream.feed(SOUND)

        stream.start = start  # type: ignore[method-assign]
        return stream

    library.InputStream = opened  # type: ignore[method-assign,assignment]


def test_sound_goes_on_after_the_device_came_back() -> None:
    library, story = FakeSoundDevice(device("Headset", rate=16_000.0)), _Story()
    _feed_when_opened(library)
    source = _open(library, story)
    blocks = iter(source.blocks())
    assert [len(next(blocks)) for _ in range(2)] == [512, 512]
    library.streams[-1].feed(SOUND, overflow=True)
    library.streams[-1].unplug()
    gone = library.present.pop()
    looks = iter(range(1, 100))
    library.on_initialize = lambda: library.present.append(gone) if next(looks) == 3 else None
    assert [len(next(blocks)) for _ in range(3)] == [512] * 3
    assert story.told == ["lost: The microphone Headset has stopped sending sound.", "back"]
    assert library.starts == 3
    assert source.dropped == 1
    assert source.name == "Headset"
    source.close()
    source.close()
    assert len(list(blocks)) <= 1
    assert all(stream.closed for stream in library.streams)


def test_a_device_plugged_in_after_the_start_is_taken() -> None:
    library, story = FakeSoundDevice(), _Story()
    _feed_when_opened(library)
    source = _open(library, story, "headset")
    assert source.name == "headset"
    library.on_initialize = lambda: library.present.append(device("Headset", rate=16_000.0))
    assert len(next(iter(source.blocks()))) == 512
    assert story.told == ["lost: There is no microphone.", "back"]
    source.close()


def test_close_ends_the_search() -> None:
    source = _open(FakeSoundDevice(), _Story())
    listener = threading.Thread(target=lambda: list(source.blocks()))
    listener.start()
    source.close()
    listener.join(timeout=200)
    assert not listener.is_alive()


def test_a_library_that_breaks_while_looking_is_looked_at_again() -> None:
    library, story = FakeSoundDevice(), _Story()
    _feed_when_opened(library)
    looks = iter(range(1, 100))

    def break_twice() -> None:
        if next(looks) < 3:
            raise OSError("host error")
        library.present.append(device("Headset", rate=16_000.0))

    library.on_initialize = break_twice
    source = _open(library, story)
    assert len(next(iter(source.blocks()))) == 512
    assert story.told[-1] == "back"
    source.close()


def test_without_the_audio_library_there_is_nothing_to_wait_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse() -> None:
        raise EngineUnavailable("PortAudio cannot be used.", "install it")

    monkeypatch.setattr("callout.portaudio.load_library", refuse)
    with pytest.raises(EngineUnavailable):
        LastingMicrophone()
