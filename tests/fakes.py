"""Stand-ins for what a test machine does not have."""

from __future__ import annotations

import threading
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np


class FakePortAudioError(Exception):
    """What the audio library raises for a device that refuses."""


def device(
    name: str, *, inputs: int = 1, outputs: int = 0, rate: float = 48_000.0
) -> dict[str, Any]:
    """Return one row of the audio library's device list."""
    return {
        "name": name,
        "hostapi": 0,
        "max_input_channels": inputs,
        "max_output_channels": outputs,
        "default_samplerate": rate,
    }


class FakeStream:
    """An input stream whose callback the test drives."""

    def __init__(self, library: FakeSoundDevice, **options: Any) -> None:
        self.library = library
        self.options = options
        self.channels: int = options["channels"]
        self.rate: int = options["samplerate"]
        self.running = False
        self.closed = False

    def start(self) -> None:
        if (self.channels, self.rate) in self.library.refused_shapes:
            raise FakePortAudioError("Invalid sample rate [PaErrorCode -9997]")
        self.running = True

    def feed(self, frames: np.ndarray, *, overflow: bool = False) -> None:
        """Deliver frames (n, channels) as the driver would: in a buffer it uses again."""
        buffer = np.array(frames, dtype=np.float32)
        self.options["callback"](
            buffer, len(buffer), object(), SimpleNamespace(input_overflow=overflow)
        )
        buffer[:] = np.nan

    def unplug(self) -> None:
        """End the stream as a vanished device does."""
        self.running = False
        self.options["finished_callback"]()

    def abort(self) -> None:
        self.running = False

    def close(self) -> None:
        self.closed = True


class FakeOutput:
    """An output stream that keeps what it was given."""

    def __init__(self, library: FakeSoundDevice, **options: Any) -> None:
        if (options["channels"], options["samplerate"]) in library.refused_shapes:
            raise FakePortAudioError("Invalid number of channels [PaErrorCode -9998]")
        self.library = library
        self.options = options
        self.closed = threading.Event()

    def start(self) -> None:
        """Ask for sound as a driver does, a hundred times as fast; first before this returns."""
        self._ask()
        threading.Thread(target=self._drive, daemon=True).start()

    def _ask(self) -> None:
        rate = self.options["samplerate"]
        frames = np.full((rate // 50, self.options["channels"]), np.nan, np.float32)
        self.options["callback"](frames, len(frames), object(), None)
        self.library.played.append((frames, self.options))

    def _drive(self) -> None:
        while not self.closed.wait(0.0002) and not self.library.stalled.is_set():
            self._ask()

    def abort(self) -> None:
        self.closed.set()

    def close(self) -> None:
        self.closed.set()

    def __enter__(self) -> FakeOutput:
        return self

    def __exit__(self, *exc: object) -> None:
        return None

    def write(self, frames: np.ndarray) -> None:
        self.library.played.append((frames, self.options))


class FakeSoundDevice:
    """The part of sounddevice that is used, with devices the test chooses."""

    PortAudioError = FakePortAudioError

    def __init__(self, *devices: dict[str, Any], default_input: int = 0) -> None:
        self.present = list(devices)
        self.default_input = default_input
        self.default = SimpleNamespace(device=(-1, -1))
        self.refused_shapes: set[tuple[int, int]] = set()
        self.streams: list[FakeStream] = []
        self.stalled = threading.Event()
        self.played: list[tuple[np.ndarray, dict[str, Any]]] = []
        self.starts = 0
        self.on_initialize: Callable[[], None] = lambda: None
        self._listed = list(self.present)

    def query_devices(self) -> list[dict[str, Any]]:
        return self._listed

    def query_hostapis(self) -> list[dict[str, Any]]:
        chosen = self.default_input if self.default_input < len(self._listed) else -1
        return [
            {"name": "Test", "default_input_device": chosen, "default_output_device": chosen},
        ]

    def InputStream(self, **options: Any) -> FakeStream:
        stream = FakeStream(self, **options)
        self.streams.append(stream)
        return stream

    def OutputStream(self, **options: Any) -> FakeOutput:
        return FakeOutput(self, **options)

    def _terminate(self) -> None:
        for stream in self.streams:
            stream.running = False

    def _initialize(self) -> None:
        self.starts += 1
        self.on_initialize()
        self._listed = list(self.present)
