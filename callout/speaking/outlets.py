"""Where rendered speech is played: one PortAudio stream, or a program that plays a file."""

from __future__ import annotations

import subprocess
import tempfile
import threading
import time
from collections import deque
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from callout import portaudio
from callout.arithmetic import Floats
from callout.core.sentences import sound_devices as sentences
from callout.errors import DeviceNotFound, EngineUnavailable
from callout.quiet import quiet_stderr
from callout.rates import RateConverter, convert_rate
from callout.speaking.played_log import PlayedLog
from callout.speaking.tones import tone_over_speech

_STALL_S = 2.0
"""A device that accepts no sound for this long has gone."""
_STEP_S = 0.01
_LATENCY_S = 0.08
"""Requested latency: short enough to stop at once, long enough not to stutter."""


class Outlet(Protocol):
    """Plays mono sound at one rate."""

    name: str

    def play(self, parts: Iterable[Floats], rate: int, cut: threading.Event) -> bool:
        """Play the parts in sequence; True at the end, False as soon as ``cut`` is set.

        Raises DeviceNotFound or EngineUnavailable if nothing can be played.
        """

    def close(self) -> None:
        """Release the device; safe to call twice."""


class StreamOutlet:
    """One output stream, opened at the device's own rate and kept open.

    began, ended: ``time.monotonic`` at which the last sound was first and last audible. log: keeps
    what is played, for an ear that removes it. ``library`` replaces sounddevice.
    """

    def __init__(
        self,
        device_name: str | None = None,
        *,
        log: PlayedLog | None = None,
        library: Any = None,
    ) -> None:
        self.name = device_name or "default"
        self.began = self.ended = 0.0
        self._wanted = device_name
        self._log = log
        self._library = library
        self._stream: Any = None
        self._rate = 0
        self._due: deque[Floats] = deque()
        """What is to be played; dropped by taking a new one, since the driver may hold this one."""
        self._tone: Floats | None = None
        """A tone, and below it the factor applied to speech meanwhile."""
        self._change = threading.Lock()
        self._taken = 0
        self._forget: Any = None

    def open(self) -> None:
        """Open the device unless it is open; raises like ``play``."""
        if self._stream is not None:
            return
        library = self._library or portaudio.load_library()
        device = portaudio.find_device(library, self._wanted, output=True)
        self.name = device.name
        portaudio.open_first(
            device,
            portaudio.channels_out(device),
            lambda channels: self._start(library, device, channels),
            output=True,
        )
        self._forget = portaudio.before_refresh(self.close)

    def _start(self, library: Any, device: portaudio.Device, channels: int) -> None:
        self._rate = device.rate  # known before the first callback
        with quiet_stderr():
            stream = library.OutputStream(
                device=device.index,
                channels=channels,
                samplerate=device.rate,
                dtype="float32",
                latency=_LATENCY_S,
                callback=self._callback,
            )
            try:
                stream.start()
            except Exception:
                stream.close()
                raise
        self._stream = stream

    def play(self, parts: Iterable[Floats], rate: int, cut: threading.Event) -> bool:
        """Play the parts in sequence; see ``Outlet``."""
        self.open()
        self.began = self.ended = 0.0
        convert = RateConverter(rate, self._rate) if rate != self._rate else None
        for part in parts:
            self._put(convert.push(part) if convert else part)
            if cut.is_set():
                break
        if convert:
            self._put(convert.push(np.zeros(0, np.float32), last=True))
        spoken = self._wait(cut)
        if not spoken:
            self._due = deque()
        return spoken

    def sound(self, tone: Floats, rate: int) -> None:
        """Play a short tone over the speech, which is lowered meanwhile; raises like ``play``.

        It goes through the same stream, so that an ear removes it too.
        """
        self.open()
        same = rate == self._rate
        self._tone = tone_over_speech(
            tone if same else convert_rate(tone, rate, self._rate), self._rate
        )

    def _put(self, samples: Floats) -> None:
        if len(samples):
            self._due.append(samples)

    def _wait(self, cut: threading.Event) -> bool:
        """Wait until everything has been heard; raises DeviceNotFound if the device stalls."""
        taken, since = self._taken, time.monotonic()
        while self._due or time.monotonic() < self.ended:
            if cut.wait(_STEP_S):
                return False
            if self._taken != taken or not self._due:
                taken, since = self._taken, time.monotonic()
            elif self._stream is None or time.monotonic() - since > _STALL_S:
                self.close()
                raise DeviceNotFound(
                    sentences.speaker_refuses_sound(self.name),
                    portaudio.device_hint(output=True),
                )
        return not cut.is_set()

    def _callback(self, frames: Floats, count: int, when: Any, status: object) -> None:
        """Runs on PortAudio's thread: copies what is due, and silence after it."""
        frames.fill(0)
        at = time.monotonic() + _seconds_until_heard(when)
        filled, due = 0, self._due
        while filled < count and due:
            piece, rest = due[0][: count - filled], due[0][count - filled :]
            frames[filled : filled + len(piece)] = piece[:, None]
            filled += len(piece)
            if len(rest):
                due[0] = rest
            else:
                due.popleft()
        self._mix_tone(frames, count)
        if self._log is not None:
            self._log.add(frames[:, 0].copy(), self._rate, at)
        if filled:
            self._taken += filled
            self.began = self.began or at
            self.ended = at + filled / self._rate

    def _mix_tone(self, frames: Floats, count: int) -> None:
        tone, self._tone = self._tone, None
        if tone is None:
            return
        now, later = tone[:, :count], tone[:, count:]
        part = frames[: now.shape[1]]
        part *= now[1][:, None]
        part += now[0][:, None]
        if later.shape[1] and self._tone is None:  # else a new one has come meanwhile
            self._tone = later

    def close(self) -> None:
        """Release the device; playing stops."""
        with self._change:
            stream, self._stream = self._stream, None
            forget, self._forget = self._forget, None
        self._due = deque()
        if forget is not None:
            forget()
        if stream is not None:
            try:
                with quiet_stderr():
                    stream.abort()
                    stream.close()
            except Exception as error:  # a device that has gone cannot be closed in good order
                self.name = f"{self.name} ({error})"


def _seconds_until_heard(when: Any) -> float:
    """Return the seconds until a callback's first frame is audible, according to the driver."""
    heard = float(getattr(when, "outputBufferDacTime", 0.0) or 0.0)
    now = float(getattr(when, "currentTime", 0.0) or 0.0)
    return min(max(0.0, heard - now), 1.0) if heard and now else 0.0


class ProgramOutlet:
    """A system program plays each text from a file in its own folder."""

    def __init__(self, command: list[str]) -> None:
        self.name = command[0]
        self._command = command
        self._folder = tempfile.TemporaryDirectory(prefix="callout-voice-")

    def play(self, parts: Iterable[Floats], rate: int, cut: threading.Event) -> bool:
        """Play the parts in sequence; see ``Outlet``."""
        import soundfile

        path = Path(self._folder.name) / "speech.wav"
        soundfile.write(path, np.concatenate([*parts, np.zeros(1, np.float32)]), rate)
        nothing, command = subprocess.DEVNULL, [*self._command, str(path)]
        with subprocess.Popen(command, stdin=nothing, stdout=nothing, stderr=nothing) as playing:
            while playing.poll() is None:
                if cut.wait(_STEP_S):
                    playing.kill()
        if not cut.is_set() and playing.returncode:
            raise EngineUnavailable(sentences.could_not_play(self.name))
        return not cut.is_set()

    def close(self) -> None:
        """Remove the folder."""
        self._folder.cleanup()


def found_outlet(device_name: str | None = None, *, log: PlayedLog | None = None) -> Outlet:
    """Return an open outlet; raises the reason if there is none."""
    outlet = StreamOutlet(device_name, log=log)
    try:
        outlet.open()
    except EngineUnavailable:
        if not (commands := portaudio.installed_players()):
            raise
        return ProgramOutlet(commands[0])
    return outlet
