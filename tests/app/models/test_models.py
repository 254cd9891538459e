"""Finding, choosing and removing models; nothing here loads one."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from callout.app.models import installed_models as models
from callout.app.models import model_place, model_record
from callout.app.models.installed_models import ModelOrigin, ModelState
from callout.app.models.model_place import ModelRefused
from callout.app.models.model_record import FileMark, ModelRecord
from callout.errors import ModelNotFound
from tests.app.model_archives import isolated
from tests.hearing.vosk_folders import ALWAYS, FIXED, make_model

PACKAGED = models._packaged_models
SMALL, LARGE = "vosk-model-small-en-us-0.15", "vosk-model-en-us-0.22-lgraph"


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty model folder and no other place with models."""
    return isolated(monkeypatch, tmp_path)


def names() -> list[str]:
    return [model.name for model in models.installed_models()]


def test_no_folder_is_no_model(place: Path) -> None:
    assert models.installed_models() == ()
    assert models.preferred_model() is None
    assert not place.exists()


def test_the_folder_is_the_platforms_unless_told_otherwise(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv("CALLOUT_MODEL_DIR")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert model_place.models_dir().parts[-2:] == ("callout", "models")
    if sys.platform == "linux":  # XDG Base Directory Specification
        assert model_place.models_dir() == tmp_path / "data" / "callout" / "models"
    monkeypatch.setenv("CALLOUT_MODEL_DIR", "here")
    monkeypatch.chdir(tmp_path)
    assert model_place.models_dir() == tmp_path / "here"


def test_models_are_described_by_names_and_sizes(place: Path) -> None:
    make_model(place / SMALL)
    (found,) = models.installed_models()
    assert (found.name, found.language, found.state) == (SMALL, "en-us", ModelState.READY)
    assert found.path == place / SMALL
    assert found.size == sum(f.stat().st_size for f in found.path.rglob("*") if f.is_file())
    assert found.origin is ModelOrigin.INSTALLED
    assert found.takes_grammar
    assert found.speaks("en")
    assert found.speaks("en-us")
    assert not found.speaks("e")


def test_a_torn_model_is_listed_but_never_preferred(place: Path) -> None:
    make_model(place / SMALL)
    (place / SMALL / "am/final.mdl").unlink()
    (found,) = models.installed_models()
    assert (found.state, found.missing) == (ModelState.INCOMPLETE, ("am/final.mdl",))
    assert models.preferred_model() is None


def test_a_file_of_another_size_than_recorded_is_noticed(place: Path) -> None:
    folder = make_model(place / SMALL)
    marks = model_record.mark_files(folder)
    model_record.write_record(folder, ModelRecord(name=SMALL, files=marks))
    assert models.installed_models()[0].state is ModelState.READY
    (folder / "graph/Gr.fst").write_text("short")
    found = models.installed_models()[0]
    assert (found.state, found.missing) == (ModelState.CHANGED, ("graph/Gr.fst",))
    assert models.preferred_model() is None


def test_the_preferred_model_takes_phrases_then_is_larger(place: Path) -> None:
    make_model(place / "vosk-model-en-us-0.22", (*ALWAYS, *FIXED))
    (place / "vosk-model-en-us-0.22/graph/HCLG.fst").write_bytes(bytes(10_000))
    assert models.preferred_model() is not None
    make_model(place / SMALL)
    preferred = models.preferred_model()
    assert preferred is not None
    assert preferred.name == SMALL
    make_model(place / LARGE)
    (place / LARGE / "graph/HCLr.fst").write_bytes(bytes(1000))
    preferred = models.preferred_model("en")
    assert preferred is not None
    assert preferred.name == LARGE


def test_another_language_is_not_preferred(place: Path) -> None:
    make_model(place / "vosk-model-small-ko-0.22")
    make_model(place / "unnamed")
    assert models.preferred_model() is None
    found = models.preferred_model("ko")
    assert found is not None
    assert found.name == "vosk-model-small-ko-0.22"


def test_shared_places_are_searched_and_left_alone(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_model(tmp_path / "home/.cache/vosk" / SMALL)
    make_model(tmp_path / "elsewhere/vosk-model-fr-0.22")
    make_model(tmp_path / "elsewhere/something")
    monkeypatch.setenv("VOSK_MODEL_PATH", str(tmp_path / "elsewhere"))
    assert names() == ["vosk-model-fr-0.22", SMALL]
    preferred = models.preferred_model()
    assert preferred is not None
    assert preferred.origin is ModelOrigin.SHARED
    with pytest.raises(ModelRefused, match="not installed by callout"):
        models.remove_model(SMALL)
    assert (tmp_path / "home/.cache/vosk" / SMALL / "am/final.mdl").exists()


def test_ours_comes_before_a_shared_one_of_the_same_name(place: Path, tmp_path: Path) -> None:
    make_model(place / SMALL)
    make_model(tmp_path / "home/.cache/vosk" / SMALL)
    assert models.find_model(SMALL).origin is ModelOrigin.INSTALLED


def test_a_packaged_model_is_found_and_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site/vosk_model_xx"
    make_model(package / "model")
    (package / "__init__.py").touch()
    monkeypatch.syspath_prepend(tmp_path / "site")
    monkeypatch.setattr(models, "_packaged_models", PACKAGED)
    found = models.find_model("vosk_model_xx")
    assert (found.path, found.language) == (package / "model", "xx")
    with pytest.raises(ModelRefused, match="Python package") as caught:
        models.remove_model("vosk_model_xx")
    assert "pip uninstall vosk-model-xx" in caught.value.hint


def test_a_model_is_found_by_name_or_path(place: Path, tmp_path: Path) -> None:
    make_model(place / SMALL)
    loose = make_model(tmp_path / "loose" / "inner")
    assert models.find_model(SMALL).path == place / SMALL
    assert models.find_model(str(loose)).path == loose
    assert models.find_model(str(loose.parent)).path == loose
    with pytest.raises(ModelNotFound) as caught:
        models.find_model("vosk-model-small-en-us-0.51")
    assert SMALL in caught.value.hint
    with pytest.raises(ModelNotFound, match="no model called"):
        models.find_model("qqqq")


def test_removing_takes_the_whole_folder(place: Path) -> None:
    make_model(place / SMALL)
    make_model(place / LARGE)
    models.remove_model(SMALL)
    assert [path.name for path in place.iterdir()] == [LARGE]


def test_removing_a_link_leaves_its_target(place: Path, tmp_path: Path) -> None:
    target = make_model(tmp_path / "target")
    place.mkdir()
    (place / SMALL).symlink_to(target)
    models.remove_model(SMALL)
    assert (target / "am/final.mdl").exists()
    assert names() == []


@pytest.mark.parametrize("name", ["", ".", "..", "../x", "a/b", ".hidden", "a b", "con", "x" * 101])
def test_unsafe_names_are_refused(name: str) -> None:
    with pytest.raises(ModelRefused, match="cannot be called"):
        model_place.checked_name(name)


def test_an_interrupted_replacement_is_undone(place: Path) -> None:
    # The process died after the old model was moved aside, before the new one was in place.
    make_model(place / SMALL).rename(place / f".outgoing-{SMALL}~77-1")
    model_place.clear_leftovers()
    assert [path.name for path in place.iterdir()] == [SMALL]
    assert models.installed_models()[0].state is ModelState.READY


def test_a_finished_replacement_is_tidied(place: Path) -> None:
    make_model(place / SMALL)
    make_model(place / f".outgoing-{SMALL}~77-1")
    make_model(place / ".trash-77-2")
    make_model(place / ".incoming-fresh")
    model_place.clear_leftovers()
    assert sorted(path.name for path in place.iterdir()) == [".incoming-fresh", SMALL]


def test_the_old_model_survives_a_failed_replacement(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_model(place / SMALL)
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(28, "No space left on device")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(ModelRefused, match="disk is full"):
        model_place.put_in_place(make_model(tmp_path / "new"), SMALL, replace=True)
    assert [path.name for path in place.iterdir()] == [SMALL]
    assert models.installed_models()[0].state is ModelState.READY


def test_records_come_back_as_written(tmp_path: Path) -> None:
    record = ModelRecord(
        "n", "ko", "s", "aa", "2030-01-01T00:00:00+00:00", {"ü/b": FileMark(3, "c")}
    )
    model_record.write_record(tmp_path, record)
    assert model_record.read_record(tmp_path) == record


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"schema": 2}', '{"schema": 1, "files": 3}', "\xff", "null"]
)
def test_a_record_that_is_not_understood_is_no_record(tmp_path: Path, text: str) -> None:
    (tmp_path / model_record.RECORD_NAME).write_bytes(text.encode("latin-1"))
    assert model_record.read_record(tmp_path) is None


def test_an_unknown_key_in_a_record_is_no_record(tmp_path: Path) -> None:
    model_record.write_record(tmp_path, ModelRecord("n"))
    path = tmp_path / model_record.RECORD_NAME
    path.write_text(json.dumps({**json.loads(path.read_text()), "later": "x"}))
    assert model_record.read_record(tmp_path) is None


@pytest.mark.skipif(
    not (shutil.which("sha256sum") and shutil.which("bash")), reason="no sha256sum here"
)
def test_the_content_checksum_is_what_standard_tools_compute(tmp_path: Path) -> None:
    folder = make_model(tmp_path / "m")
    (folder / "am/Zz").write_text("capital")
    (folder / "am.x").write_text("dot before slash")
    command = (
        f"find . -type f ! -name {model_record.RECORD_NAME} | LC_ALL=C sort"
        " | xargs sha256sum | sha256sum"
    )
    done = subprocess.run(
        ["bash", "-c", command], cwd=folder, capture_output=True, text=True, check=True
    )
    marks = model_record.mark_files(folder)
    model_record.write_record(folder, ModelRecord("m", files=marks))
    assert model_record.content_sha256(marks) == done.stdout.split()[0]
    assert model_record.content_sha256(model_record.mark_files(folder)) == done.stdout.split()[0]


def test_sha256_is_the_published_one(tmp_path: Path) -> None:
    # FIPS 180-4 example: the message "abc".
    (tmp_path / "abc").write_bytes(b"abc")
    assert model_record.sha256_of(tmp_path / "abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


@pytest.mark.parametrize(
    ("size", "text"),
    [(0, "0 bytes"), (999, "999 bytes"), (40_200_000, "40.2 MB"), (1.8e9, "1.8 GB")],
)
def test_sizes_read_well(size: float, text: str) -> None:
    assert model_place.readable_size(size) == text
