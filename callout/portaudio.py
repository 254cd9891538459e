"""PortAudio, loaded quietly, with its devices by name; shared by microphone, player and doctor."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from callout.core.sentences import sound_devices as sentences
from callout.errors import DeviceNotFound, EngineUnavailable
from callout.quiet import quiet_stderr
from callout.remedy import system_install

T = TypeVar("T")
PLAYERS = (["pw-play"], ["paplay"], ["aplay", "-q"])
"""Programs that play a file if PortAudio is missing."""
_PLUG_IN = "Plug one in or switch it on, then look at `callout devices`"
_NO_DEVICE = {
    "linux": "; a container or remote shell may see none.",
    "darwin": "; allow this terminal under System Settings > Privacy & Security > Microphone.",
    "win32": "; allow desktop apps under Settings > Privacy & security > Microphone.",
}


@dataclass(frozen=True, slots=True)
class Device:
    """An input or output as PortAudio lists it."""

    index: int
    """PortAudio's number, valid until the list is read again; never stored."""
    name: str
    system: str
    """The host interface, for example ALSA or Core Audio."""
    inputs: int
    outputs: int
    """Channels in and out."""
    rate: int
    """The device's own rate in frames per second."""
    default_input: bool = False
    default_output: bool = False


def load_library() -> Any:
    """Return the sounddevice module; raises EngineUnavailable with this platform's remedy."""
    try:
        with quiet_stderr():
            import sounddevice
    except ImportError as error:
        raise EngineUnavailable(
            sentences.sounddevice_missing(error), "pip install sounddevice"
        ) from error
    except Exception as error:  # OSError without the library, PortAudioError when it cannot start
        raise EngineUnavailable(sentences.portaudio_unusable(error), install_hint()) from error
    return sounddevice


def install_hint() -> str:
    """Return the command that installs PortAudio here."""
    return system_install("portaudio") or "pip install --force-reinstall sounddevice"


def device_hint(*, output: bool = False) -> str:
    """Return what to do on this platform if a device is missing or refuses."""
    if output:
        return f"{_PLUG_IN}."
    return _PLUG_IN + _NO_DEVICE.get(sys.platform, _NO_DEVICE["linux"])


def installed_players() -> list[list[str]]:
    """Return those of PLAYERS that are installed."""
    return [command for command in PLAYERS if shutil.which(command[0])]


def open_first(
    device: Device, shapes: Iterable[T], start: Callable[[T], None], *, output: bool = False
) -> None:
    """Open a device in the first of ``shapes`` that it accepts; raises DeviceNotFound.

    start: opens the device in one shape, such as a number of channels, or raises.
    """
    refusals: list[str] = []
    for shape in shapes:
        try:
            start(shape)
        except Exception as error:  # PortAudioError, only known once loaded, or ValueError
            refusals.append(str(error))
        else:
            return
    what = "speaker" if output else "microphone"
    raise DeviceNotFound(
        sentences.device_not_opened(what, device.name, refusals[0]),
        device_hint(output=output),
    )


def channels_out(device: Device) -> tuple[int, ...]:
    """Return the channel counts to try for an output, best first: one, then two."""
    return tuple(dict.fromkeys((1, min(2, device.outputs))))


def list_devices(library: Any) -> tuple[Device, ...]:
    """Return every input and output, in PortAudio's order."""
    with quiet_stderr():  # not while another thread reads the list again
        return _listed_devices(library)


def _listed_devices(library: Any) -> tuple[Device, ...]:
    systems = library.query_hostapis()
    default_in, default_out = _default_index(library, 0), _default_index(library, 1)
    return tuple(
        Device(
            index=number,
            name=str(row["name"]),
            system=str(systems[row["hostapi"]]["name"]),
            inputs=int(row["max_input_channels"]),
            outputs=int(row["max_output_channels"]),
            rate=round(row["default_samplerate"]),
            default_input=number == default_in,
            default_output=number == default_out,
        )
        for number, row in enumerate(library.query_devices())
    )


def _default_index(library: Any, direction: int) -> int:
    """Return the default's index; an unset preference means the first system that has one."""
    chosen = library.default.device[direction]
    if isinstance(chosen, int) and chosen >= 0:
        return chosen
    key = ("default_input_device", "default_output_device")[direction]
    return next((int(s[key]) for s in library.query_hostapis() if s[key] >= 0), -1)


def find_device(library: Any, name: str | None, *, output: bool = False) -> Device:
    """Return the device called ``name``, or the default one; raises DeviceNotFound.

    The exact name wins, then a unique part of it; case is ignored.
    """
    what = "speaker" if output else "microphone"
    usable = [d for d in list_devices(library) if (d.outputs if output else d.inputs)]
    if not usable:
        raise DeviceNotFound(sentences.there_is_no(what), device_hint(output=output))
    if not name:
        preferred = [d for d in usable if (d.default_output if output else d.default_input)]
        return (preferred or usable)[0]
    wanted = name.casefold()
    exact = [d for d in usable if d.name.casefold() == wanted]
    part = exact or [d for d in usable if wanted in d.name.casefold()]
    if not part:
        listed = ", ".join(dict.fromkeys(d.name for d in usable))
        raise DeviceNotFound(sentences.no_device_called(what, name), sentences.there_are(listed))
    if len({d.name for d in part}) > 1:
        listed = ", ".join(dict.fromkeys(d.name for d in part))
        raise DeviceNotFound(
            sentences.several_devices_match(what, name), sentences.say_which(listed)
        )
    return part[0]


_open: list[Callable[[], None]] = []


def before_refresh(close: Callable[[], None]) -> Callable[[], None]:
    """Have ``close`` called before all streams are stopped; return a function that cancels this."""
    _open.append(close)

    def forget() -> None:
        if close in _open:
            _open.remove(close)

    return forget


def refresh_devices(library: Any) -> None:
    """Read the device list again; stops every PortAudio stream of this process.

    PortAudio freezes its list at start; restarting it is the only way to see a new device.
    """
    with quiet_stderr():  # one thread at a time: PortAudio allows no more
        for close in tuple(_open):
            close()
        library._terminate()
        library._initialize()
