"""The lists that can be chosen on the page: the person's own, those of named folders, the shipped
ones.

A list is identified by a key such as ``own/my-plane/taxi.yaml``. Keys are looked up among the files
found; nothing that a page sends is ever used as a path.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from callout.app.shared.checklist_files import FLIGHT_FILE
from callout.app.shared.found_files import FoundFile, read_any, yaml_files
from callout.app.shared.shipped import CHECKLISTS, shipped_folder
from callout.core.formats.overlay import Overlay
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.list_order import list_places
from callout.core.sentences import page as sentences
from callout.errors import CalloutError, ChecklistInvalid

OWN, HERE, SHIPPED = "own", "here", "shipped"
_LAST = (999, 0, "")


@dataclass(frozen=True, slots=True)
class ShelfList:
    """One list, or a file that cannot be used."""

    key: str
    path: Path
    title: str
    checklist: Checklist | None = None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ShelfGroup:
    """The lists of one folder: mostly those of one aircraft."""

    key: str
    folder: Path
    title: str
    own: bool
    """The person may change these."""
    lists: tuple[ShelfList, ...]
    flight: Flight | None
    data: ShelfList | None = None
    """The flight data file beside the lists, which can be edited like a list."""

    @property
    def flies(self) -> bool:
        """Whether a whole flight can be run with them."""
        return bool(self.lists) and not any(one.problem for one in self.lists)


class Shelf:
    """Finds lists; files are read again only after a change. Safe from any thread.

    own: the folder of the person's own lists. here: a folder named when the page was opened.
    """

    def __init__(self, own: Path, here: Path | None = None) -> None:
        self.own = own
        self._roots = [(OWN, own), *([(HERE, here)] if here else []), *_shipped_root()]
        self._read: dict[Path, tuple[tuple[int, int], FoundFile]] = {}
        self._lock = threading.Lock()

    def groups(self) -> list[ShelfGroup]:
        """Return all lists by folder, the person's own first."""
        with self._lock:
            return [group for name, root in self._roots for group in self._in_root(name, root)]

    def find_list(self, key: str) -> tuple[ShelfGroup, ShelfList]:
        """Return a list and its group; raises CalloutError for an unknown key."""
        for group in self.groups():
            for one in (*group.lists, *([group.data] if group.data else [])):
                if one.key == key:
                    return group, one
        raise CalloutError(sentences.LIST_GONE, sentences.CHOOSE_ANOTHER)

    def find_group(self, key: str) -> ShelfGroup:
        """Return a folder of lists; raises CalloutError for an unknown key."""
        for group in self.groups():
            if group.key == key:
                return group
        raise CalloutError(sentences.LIST_GONE, sentences.CHOOSE_ANOTHER)

    def beside(self, group: ShelfGroup) -> list[FoundFile]:
        """Return the files of a group's folder."""
        with self._lock:
            return [f for path, (_, f) in self._read.items() if path.parent == group.folder]

    def own_key(self, path: Path) -> str:
        """Return the key of one of the person's own lists."""
        return f"{OWN}/{path.relative_to(self.own).as_posix()}"

    def _in_root(self, name: str, root: Path) -> Iterator[ShelfGroup]:
        try:
            paths = yaml_files(root)
        except ChecklistInvalid:
            return  # the person's own folder appears with the first list
        folders = [(f, list(group)) for f, group in groupby(paths, key=lambda path: path.parent)]
        for folder, group in sorted(folders, key=lambda pair: len(pair[1])):  # the simplest first
            inside = folder.relative_to(root).as_posix()
            key = name if inside == "." else f"{name}/{inside}"
            found = [self._found(path) for path in group]
            made = _group(key, folder, found, own=name != SHIPPED)
            if made.lists:
                yield made

    def _found(self, path: Path) -> FoundFile:
        try:
            told = path.stat()
            mark = told.st_mtime_ns, told.st_size
        except OSError:
            return read_any(path)
        known = self._read.get(path)
        if known is None or known[0] != mark:
            known = self._read[path] = (mark, read_any(path))
        return known[1]


def _shipped_root() -> list[tuple[str, Path]]:
    try:
        return [(SHIPPED, shipped_folder(CHECKLISTS))]
    except CalloutError:
        return []


def _group(key: str, folder: Path, found: Iterable[FoundFile], *, own: bool) -> ShelfGroup:
    files = list(found)
    flight = next((f.content for f in files if isinstance(f.content, Flight)), None)
    lists = [
        _shelf_list(key, f)
        for f in files
        if not isinstance(f.content, Flight | Overlay) and f.path.name != FLIGHT_FILE
    ]
    known = {one.checklist.id: one.checklist for one in lists if one.checklist}
    places = list_places(known)
    lists.sort(key=lambda one: places[one.checklist.id] if one.checklist else _LAST)
    title = flight.aircraft if flight and flight.aircraft else _folder_title(key, folder)
    beside = next((f.path for f in files if f.path.name == FLIGHT_FILE), None)
    data = ShelfList(f"{key}/{FLIGHT_FILE}", beside, sentences.FLIGHT_DATA) if beside else None
    return ShelfGroup(key, folder, title, own, tuple(lists), flight, data)


def _shelf_list(group: str, file: FoundFile) -> ShelfList:
    key = f"{group}/{file.path.name}"
    if isinstance(file.content, Checklist):
        return ShelfList(key, file.path, file.content.title, file.content)
    problem = file.error.message if file.error else sentences.NOT_A_LIST
    return ShelfList(key, file.path, file.path.name, None, problem)


def _folder_title(key: str, folder: Path) -> str:
    words = " ".join(folder.name.replace("-", " ").replace("_", " ").split())
    return sentences.YOUR_LISTS if key == OWN else words[:1].upper() + words[1:] or folder.name
