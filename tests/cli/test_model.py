"""``callout model`` as a person types it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from callout.app.models.model_place import downloads_dir
from callout.app.models.model_record import sha256_of
from callout.cli.model import command
from callout.errors import CalloutError
from tests.app.loopback import Served, serving
from tests.app.model_archives import isolated, model_zip

NAME = "vosk-model-small-en-us-0.15"


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    monkeypatch.setenv("no_proxy", "127.0.0.1")
    return isolated(monkeypatch, tmp_path)


def run(*words: str, typed: str | None = None) -> Result:
    return CliRunner().invoke(command, list(words), input=typed)


def good(*words: str, typed: str | None = None) -> str:
    result = run(*words, typed=typed)
    assert result.exit_code == 0, (result.output, result.exception)
    return result.output


def error_of(result: Result) -> CalloutError:
    assert isinstance(result.exception, CalloutError), (result.output, result.exception)
    return result.exception


def test_without_models_the_list_says_what_serves(place: Path) -> None:
    output = good("list")
    assert "No Vosk model is installed." in output
    assert "built-in recogniser" in output
    assert str(place) in output


def test_a_model_goes_in_is_listed_checked_and_taken_out(tmp_path: Path, place: Path) -> None:
    archive = model_zip(tmp_path / "download.zip")
    output = good("install", str(archive), "--no-trial")
    assert f"{NAME}  en-us" in output
    assert sha256_of(archive) in output
    assert "English replies now use this model" in output
    listed = good("list")
    assert f"{NAME}  en-us" in listed
    assert "used for English" in listed
    assert str(place / NAME) in listed
    assert "as recorded" in good("verify", NAME, "--no-trial")
    assert "removed" in good("remove", NAME, typed="y\n")
    assert not (place / NAME).exists()


def test_removing_asks_first(tmp_path: Path, place: Path) -> None:
    good("install", str(model_zip(tmp_path / "d.zip")), "--no-trial")
    assert run("remove", NAME, typed="n\n").exit_code == 1
    assert (place / NAME).exists()
    good("remove", NAME, "--yes")
    assert not (place / NAME).exists()


def test_the_list_as_json_has_one_object_a_line(tmp_path: Path, place: Path) -> None:
    good("install", str(model_zip(tmp_path / "d.zip")), "--no-trial")
    (line,) = good("list", "--json").splitlines()
    found = json.loads(line)
    assert (found["name"], found["state"], found["preferred"]) == (NAME, "ready", True)
    assert found["path"] == str(place / NAME)


def test_a_damaged_model_is_named_and_fails(tmp_path: Path, place: Path) -> None:
    good("install", str(model_zip(tmp_path / "d.zip")), "--no-trial")
    (place / NAME / "am/final.mdl").write_text("AM/FINAL.MDL\n")
    result = run("verify", NAME, "--no-trial")
    assert "am/final.mdl is not as installed" in result.output
    assert error_of(result).exit_code == 2
    (place / NAME / "am/final.mdl").unlink()
    assert "am/final.mdl is missing" in good("list")
    assert "am/final.mdl is missing" in run("verify", NAME).output


def test_an_unknown_model_is_a_sentence_and_exit_code_2(place: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "callout", "model", "verify", "nowhere"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "callout: There is no model called nowhere, and no folder of that name.",
        "  See what is installed: callout model list",
    ]


def test_a_download_is_installed_and_tidied(tmp_path: Path, place: Path) -> None:
    archive = model_zip(tmp_path / "d.zip", pad=300_000)
    served = Served(archive.read_bytes(), breaks=[100_000])
    with serving(served) as base:
        output = good("download", f"{base}/{NAME}.zip", "--no-trial")
        assert "not encrypted" in output
        assert sha256_of(archive) in output
        digest = sha256_of(archive)
        more = ("--sha256", digest, "--name", "second", "--no-trial")
        output = good("download", f"{base}/{NAME}.zip", *more)
        assert "not encrypted" not in output
    assert sorted(p.name for p in place.iterdir()) == [".downloads", "second", NAME]
    assert not [p for p in downloads_dir().rglob("*") if p.is_file()]


def test_what_is_no_model_is_fetched_once_and_dropped(place: Path) -> None:
    served = Served(b"<html>Not found</html>")
    with serving(served) as base:
        error = error_of(run("download", f"{base}/{NAME}.zip", "--no-trial"))
    assert "not a complete zip file" in error.message
    assert not [p for p in place.rglob("*") if p.is_file()]


def test_a_taken_name_keeps_the_download_for_the_next_try(tmp_path: Path, place: Path) -> None:
    archive = model_zip(tmp_path / "d.zip")
    good("install", str(archive), "--no-trial")
    served = Served(archive.read_bytes())
    with serving(served) as base:
        url = f"{base}/{NAME}.zip"
        assert "--replace" in error_of(run("download", url, "--no-trial")).hint
        good("download", url, "--no-trial", "--replace")
    assert len(served.asked) == 1


@pytest.mark.parametrize("words", [["-h"], ["install", "--help"], ["download", "--help"]])
def test_help_is_there(words: list[str]) -> None:
    from callout.cli.main import app

    result = CliRunner().invoke(app, ["model", *words])
    assert result.exit_code == 0
    assert "Usage:" in result.output
