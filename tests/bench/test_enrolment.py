"""The measure of enrolment runs on a few shared recordings, the tested take left out."""

from __future__ import annotations

import json
import shutil
from importlib import resources
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.bench.acoustic import enrolment
from callout.bench.acoustic.fuse import model_without
from callout.bench.acoustic.takes import FOLDS
from callout.bench.corpora import human_recordings
from callout.bench.enrolled_takes import promising_speakers
from callout.hearing.embedded.acoustic import Acoustic
from tests.hearing.recordings import embedded

SHARED = Path(__file__).parents[3] / "shared" / "speech"


@pytest.fixture
def few(tmp_path: Path) -> Path:
    """Two speakers with five digits each, one of them said twice, and one unrelated word."""
    (tmp_path / "digits").mkdir()
    for speaker in ("george", "jackson"):
        for digit in range(5):
            files = sorted((SHARED / "digits").glob(f"{digit}_{speaker}_*.wav"))
            if len(files) < 2:
                pytest.skip("The shared recordings are not here.")
            for file in files[: 1 if digit else 2]:
                shutil.copy(file, tmp_path / "digits")
    (tmp_path / "commands12" / "_unknown_").mkdir(parents=True)
    unknown = sorted((SHARED / "commands12" / "_unknown_").glob("*.wav"))[0]
    shutil.copy(unknown, tmp_path / "commands12" / "_unknown_")
    return tmp_path


def test_it_counts_before_after_and_who(few: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    embedded().close()
    monkeypatch.setattr(enrolment, "SNRS", (None,))
    assert promising_speakers(list(human_recordings(few)), 1) == {"george", "jackson"}
    arguments = ["--speech", str(few), "--json-file", str(few / "found.json")]
    result = CliRunner().invoke(enrolment.command, arguments)
    assert result.exit_code == 0, result.output
    assert "phone reading was trained on these speakers" in result.output
    found = json.loads((few / "found.json").read_text())
    assert found["pairs"] == 1
    for when in ("before", "after"):
        row = found[f"clean: right first time, {when}"]
        assert row["of"] == 2  # only the second take of a digit: the other side holds all the words
        assert row["low"] <= row["share"] <= row["high"]
        assert found[f"clean: unrelated taken, {when}"]["of"] == 1
    assert found["clean: who spoke, named"]["of"] == 2


def test_each_speaker_is_heard_by_the_model_that_did_not_learn_from_them(
    few: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folds = few / "folds"
    folds.mkdir()
    shipped = resources.files("callout") / "data/hearing/acoustic.npz"
    for fold in range(FOLDS):
        (folds / f"fold{fold}.npz").write_bytes(shipped.read_bytes())
    heard: list[str] = []
    kept = model_without

    def noted(folder: Path, speaker: str) -> Acoustic:
        heard.append(speaker)
        return kept(folder, speaker)

    monkeypatch.setattr(enrolment, "model_without", noted)
    monkeypatch.setattr(enrolment, "UNDER", ("echo",))
    arguments = ["--speech", str(few), "--acoustic", str(folds)]
    result = CliRunner().invoke(enrolment.command, arguments)
    assert result.exit_code == 0, result.output
    assert "echo: right first time, before" in result.output
    assert "clean: right first time" not in result.output
    assert {"george", "jackson"} <= set(heard)
