"""A microphone through PortAudio."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Iterator
from typing import Any

from callout import portaudio
from callout.core.sentences import sound as sentences
from callout.errors import CalloutError, DeviceNotFound
from callout.hearing.capture_time import CaptureTime, captured_at
from callout.hearing.level import Gauge
from callout.hearing.resample import Blocks, Floats, ToPort
from callout.ports.hearing import Samples
from callout.quiet import quiet_stderr

BLOCK = 512
"""Samples in a block: 32 ms, one frame of the voice activity detector."""

_QUEUE_BLOCKS = 512
"""Device blocks kept while the session is busy; some seconds at usual block lengths."""
_WATCHDOG_S = 2.0
_START_S = 6.0
"""Time limit for the first block: a wireless headset switches its profile first."""
_FALLBACK_RATES = (48_000, 44_100, 16_000)


class MicrophoneSource:
    """Port samples from the device called ``device_name``, or the platform's default input.

    The device is opened at its own rate and resampled here. The callback only copies into a bounded
    queue; blocks that do not fit, and those PortAudio lost, are counted in ``dropped``. Raises
    EngineUnavailable without PortAudio and DeviceNotFound without a usable device. ``library``
    replaces sounddevice.
    """

    def __init__(
        self,
        device_name: str | None = None,
        *,
        watchdog_s: float = _WATCHDOG_S,
        start_s: float = _START_S,
        queue_blocks: int = _QUEUE_BLOCKS,
        gauge: Gauge | None = None,
        library: Any = None,
    ) -> None:
        self._library = portaudio.load_library() if library is None else library
        self._wanted = device_name
        self._watchdog_s, self._start_s = watchdog_s, start_s
        self._queue: queue.Queue[tuple[Floats, float]] = queue.Queue(maxsize=queue_blocks)
        self._closed = threading.Event()
        self._ended = threading.Event()
        self._swap = threading.Lock()
        self._fault: BaseException | None = None
        self.dropped = 0
        """Device blocks lost since opening: our queue was full or PortAudio overflowed."""
        self.gauge = gauge or Gauge()
        """Level at the device, for what ``blocks`` has given."""
        self.captured_at = 0.0
        """``time.monotonic`` at which the last sample of the latest block was captured."""
        self.name = device_name or "default"
        self.rate = 0
        self._stream: Any = None
        self._open()

    def blocks(self) -> Iterator[Samples]:
        """Yield int16 blocks of exactly 512 samples until ``close``.

        Raises DeviceNotFound when the device ends or gives nothing for ``watchdog_s`` (``start_s``
        for its first block); ``reopen`` may then be tried as often as needed.
        """
        convert, cutter = ToPort(self.rate, self.gauge), Blocks(BLOCK)
        times = CaptureTime(self.rate)
        patience = self._start_s
        while (taken := self._next(patience)) is not None:
            patience = self._watchdog_s
            frames, at = taken
            times.taken(len(frames), at)
            for block in cutter.push(convert.convert(frames)):
                self.captured_at = times.given(BLOCK)
                yield block

    def _next(self, patience: float) -> tuple[Floats, float] | None:
        deadline = time.monotonic() + patience
        while not self._closed.is_set():
            try:
                return self._queue.get(timeout=min(0.1, patience))
            except queue.Empty:
                if self._ended.is_set() or time.monotonic() >= deadline:
                    raise self._lost() from self._fault
        return None

    def _lost(self) -> DeviceNotFound:
        why = f" ({self._fault})" if self._fault else ""
        return DeviceNotFound(
            sentences.microphone_stopped(self.name, why),
            sentences.PLUG_IN_AGAIN,
        )

    def reopen(self) -> None:
        """Find the device again and open it; raises like the constructor."""
        self._stop_stream()
        try:
            portaudio.refresh_devices(self._library)
        except Exception as error:
            raise DeviceNotFound(
                sentences.portaudio_cannot_start_again(error), portaudio.device_hint()
            ) from error
        self._open()

    def close(self) -> None:
        """Stop the stream; safe to call twice and from another thread."""
        self._closed.set()
        self._stop_stream()

    def _open(self) -> None:
        self._fault = None
        while not self._queue.empty():
            self._queue.get_nowait()
        device = self._find()
        self.name = device.name
        portaudio.open_first(
            device, _stream_shapes(device), lambda shape: self._start(device, *shape)
        )

    def _find(self) -> portaudio.Device:
        try:
            return portaudio.find_device(self._library, self._wanted)
        except CalloutError:
            raise
        except Exception as error:
            raise DeviceNotFound(
                sentences.microphones_not_listed(error), portaudio.device_hint()
            ) from error

    def _start(self, device: portaudio.Device, channels: int, rate: int) -> None:
        ended = threading.Event()
        self.rate = rate  # before the stream starts: its first block may come at once
        with quiet_stderr():
            stream = self._library.InputStream(
                device=device.index,
                channels=channels,
                samplerate=rate,
                dtype="float32",
                blocksize=0,
                latency="high",
                callback=self._callback,
                finished_callback=ended.set,
            )
            try:
                stream.start()
            except Exception:
                stream.close()
                raise
        with self._swap:
            self._stream, self._ended = stream, ended
        if self._closed.is_set():
            self._stop_stream()

    def _callback(self, frames: Floats, count: int, when: object, status: Any) -> None:
        """Runs on PortAudio's thread, where an exception would vanish."""
        try:
            if status.input_overflow:
                self.dropped += 1
            self._queue.put_nowait((frames.copy(), captured_at(when, count, self.rate)))
        except queue.Full:
            self.dropped += 1
        except BaseException as error:
            self._fault = error
            self._ended.set()

    def _stop_stream(self) -> None:
        with self._swap:
            stream, self._stream = self._stream, None
        if stream is None:
            return
        try:
            with quiet_stderr():
                stream.abort()
                stream.close()
        except Exception as error:  # a device that has gone cannot be closed in good order
            self._fault = self._fault or error


def _stream_shapes(device: portaudio.Device) -> Iterator[tuple[int, int]]:
    """Yield (channels, rate) worth trying: the device's own first."""
    for rate in dict.fromkeys((device.rate, *_FALLBACK_RATES)):
        yield 1, rate
        if device.inputs > 1:
            yield min(device.inputs, 2), rate
