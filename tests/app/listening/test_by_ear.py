"""Replies said by an installed voice and heard by the real recogniser."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from callout.app.list_files.checking import check_paths
from callout.app.listening import by_ear
from callout.app.listening.by_ear import VOICES, ByEar
from callout.core.lint.finding import Severity
from callout.errors import EngineUnavailable

LIST = """\
callout: 1
id: fuel
title: Fuel
phase: taxi
method: challenge-and-response
complete: fuel checklist complete
items:
  - {id: pump, challenge: Fuel pump, response: "on", wrong: "off"}
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    (tmp_path / "fuel.yaml").write_text(LIST)
    return tmp_path / "fuel.yaml"


def test_without_a_voice_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(EngineUnavailable, match="No installed voice") as caught:
        ByEar()
    assert "install" in caught.value.hint


@pytest.mark.audio
@pytest.mark.skipif(not any(map(shutil.which, VOICES)), reason="no voice is installed")
def test_what_is_heard(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A clear reply raises nothing; one that sounds like its contrary, or like nothing, does."""
    real = by_ear._speak_words
    ear = ByEar("embedded")
    try:
        assert check_paths([path], ear.check)[0].findings == ()

        swapped = {"on": "off", "off": "on"}
        monkeypatch.setattr(
            by_ear, "_speak_words", lambda p, o, words: real(p, o, swapped.get(words, words))
        )
        ear._sounds.clear()
        ear._known.clear()
        found = check_paths([path], ear.check)[0].findings
        assert {f.rule for f in found} == {"heard-as-another"}
        assert {f.severity for f in found} == {Severity.WARNING}
        assert [f for f in found if 'the wrong reply "off" was heard as the right one' in f.message]

        monkeypatch.setattr(by_ear, "_speak_words", lambda *_: np.zeros(8000, np.int16))
        ear._sounds.clear()
        ear._known.clear()
        [note] = check_paths([path], ear.check, notes=True)[0].findings
        assert (note.rule, note.severity) == ("never-understood", Severity.NOTE)
    finally:
        ear.close()
