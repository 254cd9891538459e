"""Plays samples through PortAudio; runs in the voice's child process."""

from __future__ import annotations

import os
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout import portaudio
from callout.rates import convert_rate

Floats = NDArray[np.float32]

_SILENCE = 0.001
"""-60 dB of full scale."""
_TAIL_S = 0.02


def play_samples(samples: Floats, rate: int, device_name: str | None = None) -> None:
    """Play mono ``samples`` (full scale 1.0) to the end.

    Raises EngineUnavailable without PortAudio, DeviceNotFound without a usable output.
    """
    library = portaudio.load_library()
    device = portaudio.find_device(library, device_name, output=True)
    portaudio.open_first(
        device,
        portaudio.channels_out(device),
        lambda channels: _play_stream(library, device, channels, samples, rate),
        output=True,
    )


def _play_stream(
    library: Any, device: portaudio.Device, channels: int, mono: Floats, rate: int
) -> None:
    sound = np.repeat(_resample_mono(mono, rate, device.rate)[:, None], channels, axis=1)
    with library.OutputStream(
        device=device.index,
        channels=channels,
        samplerate=device.rate,
        dtype="float32",
        latency="high",
    ) as stream:
        stream.write(np.ascontiguousarray(sound))


def _resample_mono(mono: Floats, rate: int, wanted: int) -> Floats:
    return mono if rate == wanted else convert_rate(mono, rate, wanted)


def without_tail(mono: Floats, rate: int) -> Floats:
    """Return speech without the silence that engines append; listening can begin sooner."""
    loud = np.flatnonzero(np.abs(mono) > _SILENCE)
    end = int(loud[-1]) + round(_TAIL_S * rate) if len(loud) else 0
    return mono[:end]


def read_mono(path: str | os.PathLike[str]) -> tuple[Floats, int]:
    """Return a sound file's first channel at full scale 1.0, and its rate."""
    import soundfile

    frames, rate = soundfile.read(path, dtype="float32", always_2d=True)
    return frames[:, 0], int(rate)
