"""Synthetic voices for fixtures and measurements: flite, festival and espeak-ng if installed.

A voice is named ``engine:voice``, for example ``flite:slt``, ``festival:ked_diphone`` or
``espeak:en-gb+f2``. Nothing here is needed to run a session.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import tempfile
from functools import cache
from pathlib import Path

import numpy as np
import platformdirs

from callout.core.sentences.commands import benches as sentences
from callout.errors import EngineUnavailable
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import Samples

CACHE_VARIABLE = "CALLOUT_SYNTH_CACHE"
_TIMEOUT_S = 60
_LIMITED = {"awb_time"}
"""Voices that can only tell the time."""
_FESTIVAL_ROOTS = (Path("/usr/share/festival/voices"), Path("/usr/local/share/festival/voices"))
_ESPEAK_ACCENTS = ("en-us", "en-gb", "en-gb-scotland", "en-gb-x-rp", "en-gb-x-gbclan", "en-029")
_ESPEAK_TIMBRES = ("", "+f2", "+f3", "+f4", "+m2", "+m3", "+m7")
_ESPEAK_WORDS_A_MINUTE = 160


def installed_voices() -> tuple[str, ...]:
    """Return the English voices installed here; empty when there is no engine."""
    return (*_flite_voices(), *_festival_voices(), *_espeak_voices())


def synthesise(text: str, voice: str, *, speed: float = 1.0) -> Samples:
    """Return ``text`` spoken as int16 mono 16 kHz samples, from the cache when said before.

    speed: 1.0 is the voice's own pace, 1.25 a quarter faster; 0.5 to 2.
    Raises EngineUnavailable for a voice that is not installed or an engine that fails.
    """
    if not 0.5 <= speed <= 2.0:
        raise ValueError(f"speed {speed} is outside 0.5 to 2")
    kept = _cache_file(text, voice, speed)
    if kept.exists():
        samples: Samples = np.load(kept, allow_pickle=False)
        return samples
    said = speak_uncached(text, voice, speed)
    _keep(kept, said)
    return said


def cache_folder() -> Path:
    """Return where spoken phrases are kept; the CALLOUT_SYNTH_CACHE variable overrides it."""
    chosen = os.environ.get(CACHE_VARIABLE)
    return Path(chosen) if chosen else platformdirs.user_cache_path("callout") / "synth"


def _cache_file(text: str, voice: str, speed: float) -> Path:
    key = "\0".join(("2", text, voice, f"{speed:.3f}"))
    return cache_folder() / f"{hashlib.sha256(key.encode()).hexdigest()[:32]}.npy"


def _keep(path: Path, samples: Samples) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as part:
        np.save(part, samples, allow_pickle=False)
    Path(part.name).replace(path)


def speak_uncached(text: str, voice: str, speed: float) -> Samples:
    """Return ``text`` spoken, without looking at the cache or writing to it."""
    if voice not in installed_voices():
        raise EngineUnavailable(
            sentences.synthetic_voice_not_installed(voice),
            "On Debian or Ubuntu: apt-get install flite festival espeak-ng",
        )
    engine, _, name = voice.partition(":")
    with tempfile.TemporaryDirectory() as folder:
        words, sound = Path(folder) / "words.txt", Path(folder) / "sound.wav"
        words.write_text(text + "\n", encoding="utf-8")
        command = _COMMANDS[engine](name, speed, str(words), str(sound))
        done = subprocess.run(command, capture_output=True, timeout=_TIMEOUT_S, check=False)
        if done.returncode or not sound.exists():
            why = done.stderr.decode(errors="replace").strip()[:200]
            raise EngineUnavailable(f"{engine} could not say {text!r}: {why}")
        return read_wav(sound)


def _flite(name: str, speed: float, words: str, sound: str) -> list[str]:
    stretch = f"duration_stretch={1 / speed:.3f}"
    return ["flite", "-voice", name, "--setf", stretch, "-f", words, "-o", sound]


def _festival(name: str, speed: float, words: str, sound: str) -> list[str]:
    pace = f"(Parameter.set 'Duration_Stretch {1 / speed:.3f})"
    if name.endswith("_hts"):
        pace = f'(set! hts_engine_params (cons (list "-r" {speed:.3f}) hts_engine_params))'
    lisp = f"(begin (voice_{name}) {pace})"
    return ["text2wave", "-eval", lisp, "-o", sound, words]


def _espeak(name: str, speed: float, words: str, sound: str) -> list[str]:
    pace = str(round(_ESPEAK_WORDS_A_MINUTE * speed))
    name = name.replace("en-gb+", "en+")  # the alias en-gb drops the timbre, en keeps it
    return ["espeak-ng", "-v", name, "-s", pace, "-f", words, "-w", sound]


_COMMANDS = {"flite": _flite, "festival": _festival, "espeak": _espeak}


@cache
def _flite_voices() -> tuple[str, ...]:
    listed = _output(["flite", "-lv"]).partition(":")[2].split()
    return tuple(f"flite:{name}" for name in listed if name not in _LIMITED)


@cache
def _festival_voices() -> tuple[str, ...]:
    if not shutil.which("text2wave"):
        return ()
    folders = (
        f for root in _FESTIVAL_ROOTS for lang in ("english", "us") for f in root.glob(f"{lang}/*")
    )
    return tuple(f"festival:{name}" for name in sorted(folder.name for folder in folders))


@cache
def _espeak_voices() -> tuple[str, ...]:
    rows = _output(["espeak-ng", "--voices=en"]).splitlines()[1:]
    installed = {row.split()[1].lower() for row in rows if row.strip()}
    accents = (a for a in _ESPEAK_ACCENTS if a in installed)
    return tuple(f"espeak:{accent}{timbre}" for accent in accents for timbre in _ESPEAK_TIMBRES)


def _output(command: list[str]) -> str:
    if not shutil.which(command[0]):
        return ""
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, timeout=_TIMEOUT_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return done.stdout
