"""A private sound server with a virtual microphone and speaker, where PulseAudio is installed."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from pathlib import Path

_SERVER = """\
load-module module-native-protocol-unix socket={folder}/native auth-anonymous=1
load-module module-null-sink sink_name=speaker norewinds=1 rate=48000 channels=2
load-module module-null-sink sink_name=room norewinds=1 rate=44100 channels=2
set-default-sink speaker
set-default-source room.monitor
"""
_ECHO = """\
load-module module-loopback source=speaker.monitor sink=room adjust_time=0 latency_msec={late}
"""
_ALSA = """\
</usr/share/alsa/alsa.conf>
pcm.!default {{ type pulse hint {{ show on description "test" }} }}
pcm.room {{ type pulse device "room.monitor" hint {{ show on description "room" }} }}
"""
_PLUGIN = Path("/usr/lib")


def usable() -> bool:
    """Tell whether a server can be started here and ALSA programs can reach it."""
    programs = all(shutil.which(name) for name in ("pulseaudio", "pacat", "pactl"))
    return programs and any(_PLUGIN.glob("*/alsa-lib/libasound_module_pcm_pulse.so"))


class SoundServer:
    """Whatever is played into ``room`` is what the microphone of that name hears.

    echo_ms: the room hears the speaker too, so many milliseconds late; None: it does not.
    """

    def __init__(self, folder: Path, echo_ms: int | None = None) -> None:
        self._folder = folder
        folder.chmod(0o700)
        echo = "" if echo_ms is None else _ECHO.format(late=echo_ms)
        (folder / "server.conf").write_text(_SERVER.format(folder=folder) + echo)
        (folder / "asound.conf").write_text(_ALSA.format())
        self.environment = {
            **os.environ,
            "HOME": str(folder),
            "XDG_RUNTIME_DIR": str(folder),
            "PULSE_SERVER": f"unix:{folder}/native",
            "ALSA_CONFIG_PATH": str(folder / "asound.conf"),
        }
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start the server and wait until it answers."""
        for left in (self._folder / "native", self._folder / "pulse" / "pid"):
            left.unlink(missing_ok=True)
        script, log = self._folder / "server.conf", f"--log-target=file:{self._folder}/log"
        options = ["--daemonize=no", "--exit-idle-time=-1", log]
        self._process = subprocess.Popen(
            ["pulseaudio", "-n", "-F", str(script), *options],
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(200):
            answered = self._run(["pactl", "info"])
            if answered.returncode == 0:
                return
            time.sleep(0.05)
        raise RuntimeError((self._folder / "log").read_text())

    def _run(self, command: list[str]) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(command, env=self.environment, capture_output=True, check=False)

    def play_into_room(self, raw: Path, rate: int) -> subprocess.Popen[bytes]:
        """Start playing 16-bit mono samples where the microphone is."""
        shape = ["--format=s16le", "--channels=1", f"--rate={rate}"]
        return subprocess.Popen(
            ["pacat", "-p", "-d", "room", *shape, str(raw)], env=self.environment
        )

    def stop(self) -> None:
        """Pull the plug: the server dies without a word."""
        if self._process:
            self._process.kill()
            self._process.wait()
            self._process = None
