"""A microphone that may be unplugged and plugged in again during a session."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import Any

from callout import portaudio
from callout.errors import DeviceNotFound
from callout.hearing.level import Gauge
from callout.hearing.microphone import MicrophoneSource
from callout.ports.hearing import Samples

_RETRY_S = (1.0, 2.0, 4.0)
"""Pauses between searches for the device; the last one repeats."""


class LastingMicrophone:
    """Port samples for as long as it is open, with gaps while there is no device.

    on_lost: called with message and hint when the device disappears, or is missing at the start;
    the listener should then discard the current utterance. on_back: called when it is heard again.
    Both run in the thread that iterates ``blocks`` and may be set at any time. Raises
    EngineUnavailable without PortAudio; a missing device raises nothing.
    """

    def __init__(
        self,
        device_name: str | None = None,
        *,
        on_lost: Callable[[str, str], None] = lambda message, hint: None,
        on_back: Callable[[], None] = lambda: None,
        retry_s: tuple[float, ...] = _RETRY_S,
        library: Any = None,
        **options: Any,
    ) -> None:
        self.on_lost, self.on_back = on_lost, on_back
        self.gauge = Gauge()
        """Level at the device, for what ``blocks`` has given."""
        self._library = portaudio.load_library() if library is None else library
        self._wanted = device_name
        self._retry_s = retry_s
        self._options = options
        self._closed = threading.Event()
        self._source: MicrophoneSource | None = None
        self._missing: DeviceNotFound | None = None
        self._dropped_before = 0
        try:
            self._source = self._open()
        except DeviceNotFound as error:
            self._missing = error

    @property
    def name(self) -> str:
        """The device in use, else the one that is wanted."""
        return self._source.name if self._source else self._wanted or "microphone"

    @property
    def dropped(self) -> int:
        """Device blocks lost since the beginning."""
        return self._dropped_before + (self._source.dropped if self._source else 0)

    def blocks(self) -> Iterator[Samples]:
        """Yield int16 blocks of exactly 512 samples until ``close``, whatever happens between."""
        while not self._closed.is_set():
            if self._source is None:
                self._wait_for_device()
                continue
            try:
                yield from self._source.blocks()
            except DeviceNotFound as error:
                self._missing = error
                self._let_go()

    def close(self) -> None:
        """Stop for good; safe to call twice and from another thread."""
        self._closed.set()
        if source := self._source:
            source.close()

    def _let_go(self) -> None:
        source, self._source = self._source, None
        if source is not None:
            self._dropped_before += source.dropped
            source.close()

    def _wait_for_device(self) -> None:
        """Report that the device is gone, then look for it until it is back or everything is
        closed.
        """
        if self._missing:
            self.on_lost(self._missing.message, self._missing.hint)
        waits = iter(self._retry_s)
        wait = self._retry_s[0]
        while not self._closed.wait(wait := next(waits, wait)):
            if self._found():
                self._missing = None
                self.on_back()
                return

    def _found(self) -> bool:
        try:
            portaudio.refresh_devices(self._library)
            self._source = self._open()
        except Exception:  # the library fails in its own ways while devices come and go
            return False
        if self._closed.is_set():
            self._source.close()
        return True

    def _open(self) -> MicrophoneSource:
        return MicrophoneSource(
            self._wanted, library=self._library, gauge=self.gauge, **self._options
        )
