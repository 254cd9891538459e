"""Which Vosk models are here, and which one to use."""

from __future__ import annotations

import difflib
import importlib.util
import os
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from callout.app.models.model_place import ModelRefused, models_dir, take_away
from callout.app.models.model_record import ModelRecord, read_record, total_size
from callout.core.sentences import models as sentences
from callout.errors import ModelNotFound
from callout.hearing.vosk_files import language_of, missing_files, model_roots, takes_grammar

_PACKAGE_PREFIX = "vosk_model_"


class ModelState(Enum):
    """Whether a model can be used, judged by file names and sizes."""

    READY = "ready"
    INCOMPLETE = "incomplete"
    CHANGED = "changed"


class ModelOrigin(Enum):
    """Who installed a model."""

    INSTALLED = "installed"
    SHARED = "shared"
    """Installed where Vosk's own programs look."""
    PACKAGE = "package"
    """Inside an installed Python package."""
    FOLDER = "folder"
    """Named by its path."""


@dataclass(frozen=True, slots=True)
class InstalledModel:
    """One model folder on this machine."""

    name: str
    path: Path
    """Absolute."""
    language: str
    """As in the name, ``en-us`` for example; empty if unknown."""
    size: int
    """Bytes."""
    state: ModelState
    origin: ModelOrigin
    takes_grammar: bool
    missing: tuple[str, ...] = ()
    """Missing, empty or changed files, relative to ``path``."""

    def speaks(self, language: str) -> bool:
        """Say whether the model is for ``language`` (``en`` includes ``en-us``)."""
        return self.language == language or self.language.startswith(f"{language}-")


def installed_models() -> tuple[InstalledModel, ...]:
    """Return all models found here, ours first, then by name; nothing is loaded."""
    found = (describe_model(path, origin) for path, origin in _model_places())
    unique: dict[Path, InstalledModel] = {}
    for model in found:
        unique.setdefault(model.path.resolve(), model)
    order = list(ModelOrigin)
    return tuple(sorted(unique.values(), key=lambda m: (order.index(m.origin), m.name)))


def preferred_model(language: str = "en") -> InstalledModel | None:
    """Return the best usable model of a language, or None.

    Models that accept the phrases of an item come first; then larger ones, since their publisher
    reports fewer errors for them.
    """
    usable = [m for m in installed_models() if m.state is ModelState.READY and m.speaks(language)]
    return max(usable, key=lambda m: (m.takes_grammar, m.size, m.name), default=None)


def find_model(name_or_path: str) -> InstalledModel:
    """Return the model of that name or at that path; raises ModelNotFound."""
    for model in installed_models():
        if model.name == name_or_path:
            return model
    path = Path(os.path.abspath(Path(name_or_path).expanduser()))
    if path.is_dir():
        return describe_model(_inner_model(path), ModelOrigin.FOLDER)
    raise _unknown_model(name_or_path)


def remove_model(name: str) -> InstalledModel:
    """Remove a model from the model folder; others are refused, since they are not ours."""
    model = find_model(name)
    if model.origin is ModelOrigin.PACKAGE:
        package = name.replace("_", "-")
        raise ModelRefused(sentences.python_package(name), f"Remove it: pip uninstall {package}")
    if model.origin is not ModelOrigin.INSTALLED:
        raise ModelRefused(
            sentences.not_installed_callout(model.path),
            sentences.FOREIGN_MODEL_HINT,
        )
    take_away(name)
    return model


def describe_model(path: Path, origin: ModelOrigin) -> InstalledModel:
    """Return what names and sizes alone say about a model folder."""
    path = Path(os.path.abspath(path))
    record = read_record(path)
    missing, changed = missing_files(path), _changed_files(path, record)
    name = _package_name(path) if origin is ModelOrigin.PACKAGE else path.name
    return InstalledModel(
        name=name,
        path=path,
        language=(record.language if record else "") or language_of(name),
        size=total_size(path),
        state=_model_state(missing, changed),
        origin=origin,
        takes_grammar=takes_grammar(path),
        missing=missing or changed,
    )


def _inner_model(path: Path) -> Path:
    """Return the model in ``path`` if there is exactly one inside, else ``path`` itself."""
    roots = model_roots(path)
    return roots[0] if len(roots) == 1 else path


def _model_state(missing: tuple[str, ...], changed: tuple[str, ...]) -> ModelState:
    if missing:
        return ModelState.INCOMPLETE
    return ModelState.CHANGED if changed else ModelState.READY


def _changed_files(path: Path, record: ModelRecord | None) -> tuple[str, ...]:
    if record is None:
        return ()
    return tuple(
        name for name, mark in record.files.items() if _folder_size(path / name) != mark.size
    )


def _folder_size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return -1


def _model_places() -> Iterator[tuple[Path, ModelOrigin]]:
    for folder in _folders_in(models_dir()):
        yield folder, ModelOrigin.INSTALLED
    for shared in _shared_places():
        for folder in _folders_in(shared):
            if folder.name.startswith("vosk-model"):
                yield folder, ModelOrigin.SHARED
    for folder in _packaged_models():
        yield folder, ModelOrigin.PACKAGE


def _folders_in(folder: Path) -> list[Path]:
    try:
        inside = sorted(folder.iterdir())
    except OSError:
        return []
    return [path for path in inside if path.is_dir() and not path.name.startswith(".")]


def _shared_places() -> Iterator[Path]:
    """Yield the folders where Vosk's own programs keep models."""
    named = os.environ.get("VOSK_MODEL_PATH")
    if named:
        yield Path(named)
    home = Path.home()
    yield from (home / ".cache/vosk", home / "AppData/Local/vosk", Path("/usr/share/vosk"))


def _packaged_models() -> Iterator[Path]:
    names = [m.name for m in pkgutil.iter_modules() if m.name.startswith(_PACKAGE_PREFIX)]
    for name in sorted(names):
        spec = importlib.util.find_spec(name)
        for root in (spec.submodule_search_locations or []) if spec else []:
            yield from model_roots(Path(root))[:1]


def _package_name(path: Path) -> str:
    """Return the package that contains ``path``."""
    named = [part for part in path.parts if re.match(rf"{_PACKAGE_PREFIX}\w+$", part)]
    return named[-1] if named else path.name


def _unknown_model(name: str) -> ModelNotFound:
    names = [model.name for model in installed_models()]
    close = difflib.get_close_matches(name, names, n=1)
    hint = (
        sentences.did_you_mean(close[0]) if close else "See what is installed: callout model list"
    )
    return ModelNotFound(sentences.no_model_called(name), hint)
