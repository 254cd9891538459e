"""Synthetic voices."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from callout.bench import synth
from callout.errors import EngineUnavailable


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(synth.CACHE_VARIABLE, str(tmp_path / "spoken"))
    return tmp_path / "spoken"


def _first_of_each_engine() -> list[str]:
    by_engine = {voice.partition(":")[0]: voice for voice in reversed(synth.installed_voices())}
    return sorted(by_engine.values())


@pytest.mark.parametrize("voice", _first_of_each_engine())
def test_each_engine_speaks_and_obeys_the_pace(voice: str, folder: Path) -> None:
    usual = synth.synthesise("two niner niner two", voice)
    assert usual.dtype == np.int16
    assert usual.ndim == 1
    assert 0.5 < len(usual) / 16_000 < 5
    assert np.abs(usual).max() > 1_000
    fast = synth.synthesise("two niner niner two", voice, speed=1.5)
    assert len(fast) < 0.85 * len(usual)
    assert len(list(folder.glob("*.npy"))) == 2
    assert not list(folder.glob("*.part"))


@pytest.mark.skipif(not synth.installed_voices(), reason="no synthetic voice is installed")
def test_what_was_said_before_comes_from_the_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    voice = synth.installed_voices()[0]
    first = synth.synthesise("on", voice)
    monkeypatch.setattr(synth, "speak_uncached", lambda *args: pytest.fail("spoken again"))
    assert np.array_equal(synth.synthesise("on", voice), first)


@pytest.mark.skipif(
    not any(v.startswith("espeak:en-gb+") for v in synth.installed_voices()), reason="no espeak-ng"
)
def test_timbres_of_an_accent_differ() -> None:
    one, other = (synth.synthesise("on", f"espeak:en-gb{t}") for t in ("", "+f2"))
    assert len(one) != len(other) or not np.array_equal(one, other)


def test_a_voice_that_is_not_installed_is_refused() -> None:
    with pytest.raises(EngineUnavailable, match="not installed") as caught:
        synth.synthesise("on", "flite:nobody")
    assert "apt-get install" in caught.value.hint


@pytest.mark.parametrize("speed", [0.0, 3.0, float("nan")])
def test_an_impossible_pace_is_refused(speed: float) -> None:
    with pytest.raises(ValueError, match="outside"):
        synth.synthesise("on", "flite:slt", speed=speed)
