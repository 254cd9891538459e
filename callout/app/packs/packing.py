"""Makes a pack from a folder; shows, compares and adds packs."""

from __future__ import annotations

import os
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any, Final

from callout.app.list_files.checking import check_paths
from callout.app.packs.archive import Pack, packed_bytes, read_pack
from callout.app.packs.pairs import Pair, differing_pairs, pair_line, pairs_in, usual_pairs
from callout.app.shared.checklist_files import FLIGHT_FILE, read_text
from callout.app.shared.found_files import read_any
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.packs.difference import about_changes, pack_changes
from callout.core.packs.manifest import PAIRS_FILE, About, about_from, is_file_name
from callout.core.sentences import packs as say
from callout.errors import ChecklistInvalid
from callout.outlet import save_bytes, save_text

ABOUT_FILE: Final = "pack.toml"
"""A folder's own description as a pack."""


@dataclass(frozen=True, slots=True)
class OpenedPack:
    """A pack whose lists were read and found without errors."""

    pack: Pack
    lists: Mapping[str, Checklist]
    """By id."""
    flight: Flight
    pairs: tuple[Pair, ...]


def pack_folder(folder: Path, told: Mapping[str, str]) -> OpenedPack:
    """Return ``folder`` as a pack; ``told`` overrides its pack.toml.

    Raises ChecklistInvalid if a list has an error, or no author is given.
    """
    files = dict(_folder_files(folder))
    if not any(name.endswith((".yaml", ".yml")) for name in files):
        raise ChecklistInvalid(say.no_lists(folder), say.NO_LISTS_HINT)
    about = about_from({"name": _plain_name(folder), **_about_file(folder), **told}, str(folder))
    opened = _opened(Pack(about, files), str(folder))
    if PAIRS_FILE not in files:
        made = list(usual_pairs(opened.lists, opened.flight))
        text = "".join(f"{pair_line(pair)}\n" for pair in made)
        pack = Pack(about, {**files, PAIRS_FILE: text.encode("utf-8")})
        opened = OpenedPack(pack, opened.lists, opened.flight, tuple(made))
    return opened


def open_pack(path: Path) -> OpenedPack:
    """Return the pack at ``path``, a file or a folder; raise ChecklistInvalid."""
    if path.is_dir():
        return pack_folder(path, {})
    return _opened(read_pack(path), str(path))


def write_pack(opened: OpenedPack, path: Path) -> None:
    """Write the one file that a pack travels as."""
    save_bytes(path, packed_bytes(opened.pack), folders=True)


def pack_differences(old: OpenedPack, new: OpenedPack) -> list[str]:
    """Return what differs between two packs, in words."""
    changes = list(about_changes(old.pack.about, new.pack.about))
    return [*changes, *pack_changes(old.lists, new.lists), *_file_changes(old, new)]


def _file_changes(old: OpenedPack, new: OpenedPack) -> Iterator[str]:
    """Yield changes of flight data, overlays and texts, reported by name only."""
    before, after = _other_files(old), _other_files(new)
    for name in sorted(before.keys() | after.keys()):
        if name not in after:
            yield say.file_gone(name)
        elif name not in before:
            yield say.file_new(name)
        elif before[name] != after[name]:
            yield say.changed_file(name)


def _other_files(opened: OpenedPack) -> dict[str, bytes]:
    lists = {Path(checklist.origin.file).name for checklist in opened.lists.values()}
    files = opened.pack.files
    return {name: data for name, data in files.items() if name not in {*lists, PAIRS_FILE}}


def differing_replies(opened: OpenedPack) -> list[str]:
    """Return a sentence for each reply whose verdict here differs from the pack's."""
    return list(differing_pairs(list(opened.pairs), opened.lists, opened.flight))


def add_pack(opened: OpenedPack, folder: Path, replace: bool = False) -> Path | None:
    """Write the lists of a pack into ``folder``; return where an earlier version is kept.

    Raises ChecklistInvalid if there is one and ``replace`` is not set. A folder is complete or
    absent: it is written elsewhere first and then moved.
    """
    kept = None
    if folder.exists():
        if not replace:
            told = _about_file(folder).get("version", "?")
            raise ChecklistInvalid(say.already_there(folder, told), say.REPLACE_IT)
        kept = _free_place(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".pack-") as scratch:
        made = Path(scratch) / folder.name
        _write_folder(opened.pack, made)
        if kept is not None:
            os.replace(folder, kept)
        os.replace(made, folder)
    return kept


def _free_place(folder: Path) -> Path:
    """Return a hidden place beside ``folder``, where no list is looked for."""
    places = (folder.with_name(f".{folder.name}.{number}") for number in count(1))
    return next(place for place in places if not place.exists())


def _write_folder(pack: Pack, folder: Path) -> None:
    folder.mkdir()
    for name, data in pack.files.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)
    save_text(folder / ABOUT_FILE, about_text(pack.about))


def about_text(about: About) -> str:
    """Return a pack's description in the form stored in its folder."""
    pairs = ((key, getattr(about, key)) for key in About.__dataclass_fields__)
    return "".join(f"{key} = {_toml_text(value)}\n" for key, value in pairs)


def _toml_text(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _about_file(folder: Path) -> dict[str, Any]:
    path = folder / ABOUT_FILE
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(read_text(path))
    except tomllib.TOMLDecodeError as error:
        said = f"{path}: {str(error)[:80]}."
        raise ChecklistInvalid(said, say.MANIFEST_LINE_EXAMPLE) from error


def _folder_files(folder: Path) -> Iterator[tuple[str, bytes]]:
    places = [folder, folder / "overlays"]
    for place in places:
        for path in sorted(place.iterdir()) if place.is_dir() else ():
            name = path.relative_to(folder).as_posix()
            if is_file_name(name) and path.is_file() and not path.is_symlink():
                yield name, read_text(path).encode("utf-8")


def _plain_name(folder: Path) -> str:
    return folder.resolve().name.casefold().replace(" ", "-").replace("_", "-")


def _opened(pack: Pack, where: str) -> OpenedPack:
    """Read the lists of ``pack`` from a folder of their own, as a session would."""
    with tempfile.TemporaryDirectory(prefix="callout-pack-") as scratch:
        folder = Path(scratch) / pack.about.name
        _write_folder(pack, folder)
        for checked in check_paths([folder]):
            for finding in checked.findings:
                if finding.severity.value == "error":
                    first = f"{checked.path.name}, line {finding.line}: {finding.message}"
                    raise ChecklistInvalid(say.lists_unusable(where, first), say.CHECK_FIRST)
        lists, flight = _read_lists(folder)
    text = pack.files.get(PAIRS_FILE, b"").decode("utf-8", "replace")
    return OpenedPack(pack, lists, flight, tuple(pairs_in(text, f"{where}: {PAIRS_FILE}")))


def _read_lists(folder: Path) -> tuple[dict[str, Checklist], Flight]:
    lists: dict[str, Checklist] = {}
    flight = Flight()
    for path in sorted(folder.glob("*.y*ml")):
        content = read_any(path).content
        if isinstance(content, Checklist):
            lists[content.id] = content
        elif isinstance(content, Flight) and path.name == FLIGHT_FILE:
            flight = content
    return lists, flight
