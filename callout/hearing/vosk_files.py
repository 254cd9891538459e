"""What a Vosk model folder must contain, checked before the native library touches it.

The library silently loads some damaged models and then crashes the process, so nothing is passed to
it before this check. The two layouts are those of Vosk's own model loader.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from callout.core.sentences import sound_devices as sentences
from callout.errors import ModelNotFound

_NAME = re.compile(r"^vosk-model-(?:small-|big-)?(?P<language>[a-z]{2,3}(?:-[a-z]{2})?)(?:-|$)")
_PACKAGE = re.compile(r"^vosk_model_(?:small_)?(?P<language>[a-z]{2,3}(?:_[a-z]{2})?)$")
_IVECTOR = ("final.dubm", "final.mat", "global_cmvn.stats", "online_cmvn.conf", "splice.conf")
DEEPEST = 4
"""Number of folder levels below the given one that are searched for a model."""


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where one generation of models keeps its files, relative to the model folder."""

    acoustic: str
    always: tuple[str, ...]
    graph: str

    def graph_file(self, name: str) -> str:
        return f"{self.graph}{name}"


_CURRENT = _Layout(
    acoustic="am/final.mdl",
    always=("conf/mfcc.conf", "conf/model.conf", "graph/phones/word_boundary.int"),
    graph="graph/",
)
_OLD = _Layout(acoustic="final.mdl", always=("mfcc.conf", "word_boundary.int"), graph="")


def missing_files(folder: Path) -> tuple[str, ...]:
    """Return the files, relative to ``folder``, that are missing or empty; none means usable."""
    layout = _model_layout(folder)
    needed = [layout.acoustic, *layout.always, *_graph_files(folder, layout)]
    if (folder / "ivector").is_dir():
        needed += ["ivector/final.ie", *(f"ivector/{name}" for name in _IVECTOR)]
    return tuple(name for name in needed if not _has_content(folder / name))


def takes_grammar(folder: Path) -> bool:
    """Say whether the word graph is composed at run time, so that phrases can be given."""
    layout = _model_layout(folder)
    return not (folder / layout.graph_file("HCLG.fst")).is_file()


def language_of(name: str) -> str:
    """Return the language in a model's or package's name (``en-us``), or "" if it names none."""
    found = _NAME.match(name.lower()) or _PACKAGE.match(name.lower())
    return found["language"].replace("_", "-") if found else ""


def model_roots(folder: Path) -> tuple[Path, ...]:
    """Return every folder at or below ``folder`` that holds an acoustic model, shallowest first."""
    roots = []
    for here, folders, files in os.walk(folder):
        depth = len(Path(here).relative_to(folder).parts)
        folders[:] = sorted(folders) if depth < DEEPEST else []
        if _is_root(Path(here), folders, files):
            roots.append(Path(here))
            folders.clear()
    return tuple(sorted(roots, key=lambda path: (len(path.parts), path)))


def checked_folder(folder: str | Path) -> Path:
    """Return the absolute path of a usable model folder.

    Raises ModelNotFound naming what is missing, or the deeper folder that was probably meant.
    """
    path = Path(os.path.abspath(Path(folder).expanduser()))
    if not path.is_dir():
        raise ModelNotFound(sentences.no_vosk_model(path), "Try: callout model list")
    missing = missing_files(path)
    if not missing:
        return path
    raise ModelNotFound(
        sentences.vosk_model_incomplete(path, listed_names(missing)), _model_hint(path)
    )


def listed_names(names: Iterable[str], most: int = 4) -> str:
    """Return names as words for a sentence, with the verb: ``a and b are``."""
    names = tuple(names)
    shown = list(names[:most])
    if len(names) > most:
        shown.append(f"{len(names) - most} more")
    verb = "is" if len(names) == 1 else "are"
    joined = shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
    return f"{joined} {verb}"


def _model_hint(path: Path) -> str:
    inner = [root for root in model_roots(path) if root != path and not missing_files(root)]
    if inner:
        return f"The model is one folder further in: use {inner[0]}"
    return "Install it again from its zip file: callout model install ZIP --replace"


def _model_layout(folder: Path) -> _Layout:
    old = not (folder / "am").is_dir() and (folder / _OLD.acoustic).is_file()
    return _OLD if old else _CURRENT


def _graph_files(folder: Path, layout: _Layout) -> tuple[str, ...]:
    if (folder / layout.graph_file("HCLG.fst")).is_file():
        return tuple(layout.graph_file(name) for name in ("HCLG.fst", "words.txt"))
    names = ("HCLr.fst", "Gr.fst", "disambig_tid.int")
    return tuple(layout.graph_file(name) for name in names)


def _is_root(here: Path, folders: Iterable[str], files: Iterable[str]) -> bool:
    if "am" in folders:
        return (here / _CURRENT.acoustic).is_file()
    return "final.mdl" in files and "mfcc.conf" in files


def _has_content(path: Path) -> bool:
    try:
        return path.is_file() and path.stat().st_size > 0
    except OSError:
        return False
