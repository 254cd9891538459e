"""Forgetting a person or a period: what is removed, and what still mentions them afterwards."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

from platformdirs import user_data_path

from callout.app.models.model_place import models_dir
from callout.app.privacy.collected import (
    CollectedShare,
    reports_about,
    shares_in,
    take_share_out,
    written_anew,
)
from callout.app.privacy.headings import DERIVED, is_journal, journal_heading
from callout.app.privacy.leftover_search import Search, files_in, search_leftovers
from callout.core.instructor.agreeing import entry_belongs
from callout.core.instructor.sign_off import SignOff, forget_names
from callout.core.keeping.forgetting import Wish, choose_journals, name_slug
from callout.errors import CalloutError
from callout.journal.class_log import CLASS_LOG, keep_entries
from callout.journal.locked_file import in_use, sync_folder
from callout.journal.register import FILE, FOLDER, rewrite_register
from callout.journal.sound_files import ENDING
from callout.store.made import LISTED, REPORTS, strike_lost, strike_lost_reports

_LOCKS = ".locks"


@dataclass(frozen=True, slots=True)
class Places:
    """The folders that callout writes to."""

    journals: Path
    data: Path
    voices: Path
    """Enrolled voices, in ``data`` or elsewhere."""

    @property
    def roots(self) -> tuple[Path, ...]:
        """The folders that exist."""
        return tuple(
            p for p in dict.fromkeys((self.journals, self.data, self.voices)) if p.is_dir()
        )

    def files(self) -> list[Path]:
        """Return all files, except downloaded recogniser models."""
        return list(files_in(self.roots, [models_dir()]))


@dataclass(frozen=True, slots=True)
class Forgetting:
    """What a wish to forget would remove."""

    wish: Wish
    places: Places
    sessions: frozenset[str]
    files: tuple[Path, ...]
    """Files to remove, journals last: an interrupted removal can be restarted from them."""
    shared: frozenset[str]
    unnamed: int = 0
    """Journals that name nobody."""
    collected: tuple[CollectedShare, ...] = ()
    """What is removed from collections elsewhere."""
    only_sound: bool = False
    """The journals stay."""


@dataclass(slots=True)
class Forgotten:
    """What was removed, and what could not be."""

    removed: list[Path] = field(default_factory=list)
    failed: list[tuple[Path, str]] = field(default_factory=list)
    rebuilt: list[Path] = field(default_factory=list)
    """Collections rewritten without them."""
    noted: int = 0
    """Notes and actions that were removed."""
    emptied: int = 0
    """Sign-offs of which only the hashes remain."""
    left: Search = field(default_factory=lambda: Search(0, (), ()))

    @property
    def proven(self) -> bool:
        """True when nothing is left."""
        return not self.failed and not self.left.traces and not self.left.unread


def own_places(journals: Path) -> Places:
    """Return the tool's folders."""
    from callout.hearing.voices import voices_folder

    return Places(journals, user_data_path("callout", appauthor=False), voices_folder())


def plan_forgetting(wish: Wish, places: Places, *, only_sound: bool = False) -> Forgetting:
    """Return what ``wish`` would remove; nothing is changed.

    only_sound: the sound of replies goes, and the journals stay.
    """
    files = places.files()
    headings = {path: journal_heading(path) for path in files if is_journal(path)}
    chosen = choose_journals(headings.values(), wish)
    if only_sound:
        sounds = [p for p in files if p.parent.suffix == ENDING and p.parent.stem in chosen.forget]
        return Forgetting(wish, places, frozenset(), tuple(sounds), chosen.shared, only_sound=True)
    gone = [path for path in files if _file_belongs(path, chosen.forget, wish, places)]
    anew = written_anew(places.data / LISTED)
    derived = [p for p in files if p.suffix in DERIVED and _is_own(p, places)
               and not any(p.is_relative_to(place) for place in anew)]  # fmt: skip
    gone += [p for p in derived if chosen.forget and p not in gone]
    told = reports_about(places.data / REPORTS, wish, chosen.forget)
    gone += [p for p in told if p not in gone]
    gone.sort(key=lambda path: (path in headings, str(path)))
    unnamed = sum(not heading.crew and not heading.flight for heading in headings.values())
    collected = shares_in(places.data / LISTED, wish, chosen.forget, gone)
    return Forgetting(wish, places, chosen.forget, tuple(gone), chosen.shared, unnamed, collected)


def carry_out(plan: Forgetting) -> Forgotten:
    """Remove what ``plan`` says, then search everything that is left."""
    done = Forgotten()
    if not plan.only_sound:
        _empty_sign_offs(plan, done)
    running = {path.stem for path in plan.files if is_journal(path) and in_use(path)}
    for path in plan.files:
        if any(_session_in(part, frozenset(running)) for part in path.parts):
            done.failed.append((path, "its session is running"))
        else:
            _remove_file(path, done)
    tops = [root.resolve() for root in plan.places.roots]
    inside = (path for path in done.removed if any(path.is_relative_to(top) for top in tops))
    folders = {path.parent for path in inside}
    for folder in sorted(folders, key=lambda f: len(f.parts), reverse=True):
        _remove_empty_folder(folder, plan.places)
    if plan.only_sound:
        return done
    _rebuild_collections(plan, done)
    left = plan.places.files()
    found = search_leftovers(left, plan.wish.person, plan.sessions, plan.places.roots)
    anew = written_anew(plan.places.data / LISTED)
    squeezed = tuple(path for path in left if path.suffix in DERIVED
                     and not any(path.is_relative_to(place) for place in anew))  # fmt: skip
    done.left = replace(found, unread=(*found.unread, *squeezed))
    return done


def _rebuild_collections(plan: Forgetting, done: Forgotten) -> None:
    for share in plan.collected:
        problem = take_share_out(share, plan.wish.person)
        if problem:
            done.failed.append((share.database, problem))
        else:
            done.rebuilt.append(share.database)
    with suppress(CalloutError):
        strike_lost(plan.places.data / LISTED)
        strike_lost_reports(plan.places.data / REPORTS)


def _is_own(path: Path, places: Places) -> bool:
    """Say whether an index is in the tool's own folder, not beside journals elsewhere."""
    return path.is_relative_to(places.data.resolve())


def _file_belongs(path: Path, sessions: frozenset[str], wish: Wish, places: Places) -> bool:
    """Say whether a file belongs to a forgotten session, or to the person alone (their voice)."""
    if path.parent.name == FOLDER or path.suffix == ".lock":
        return False  # a register is emptied, a lock goes with its journal
    own = path.relative_to(_root_of(path, places)).parts
    if any(_session_in(part, sessions) for part in own):
        return True
    whole = wish.person and wish.since is None and wish.until is None
    return bool(whole) and any(name_slug(wish.person) == name_slug(Path(part).stem) for part in own)


def _session_in(part: str, sessions: frozenset[str]) -> bool:
    """Say whether a name begins with a session's: ``ID.jsonl``, ``ID-3.wav``."""
    return any(
        part[:end] in sessions for end in (len(part), *(m.start() for m in _BREAK.finditer(part)))
    )


_BREAK = re.compile(r"[.\-_]")


def _root_of(path: Path, places: Places) -> Path:
    roots = (root.resolve() for root in places.roots)
    return next(root for root in roots if path.is_relative_to(root))


def _remove_file(path: Path, done: Forgotten) -> None:
    if path.is_symlink():
        done.failed.append((path, f"it is a link to {os.readlink(path)}, which is not ours"))
        return
    try:
        path.unlink()
        (path.parent / _LOCKS / f"{path.name}.lock").unlink(missing_ok=True)
        sync_folder(path.parent)
    except OSError as error:
        done.failed.append((path, (error.strerror or str(error)).rstrip(".").lower()))
    else:
        done.removed.append(path)


def _remove_empty_folder(folder: Path, places: Places) -> None:
    """Remove a folder that is now empty, and its empty parents; never the tool's own."""
    roots = {root.resolve() for root in places.roots}
    with suppress(OSError):
        while folder not in roots and not any(folder.iterdir()):
            folder.rmdir()
            folder = folder.parent


def _sign_off_registers(places: Places, name: str = FILE) -> Iterator[Path]:
    named = (path for path in places.files() if path.name == name and path.parent.name == FOLDER)
    return (path for path in named if not path.is_symlink())


def _empty_sign_offs(plan: Forgetting, done: Forgotten) -> None:
    person = plan.wish.person if plan.wish.since is None and plan.wish.until is None else ""

    def change(record: SignOff) -> SignOff:
        return forget_names(record, plan.sessions, person)

    for register in _sign_off_registers(plan.places):
        try:
            done.emptied += rewrite_register(register, change)
        except (CalloutError, OSError) as error:
            done.failed.append((register, str(error).rstrip(".")))
    for log in _sign_off_registers(plan.places, CLASS_LOG):
        try:
            done.noted += keep_entries(log, lambda entry: not entry_belongs(entry, plan.wish))
        except (CalloutError, OSError) as error:
            done.failed.append((log, str(error).rstrip(".")))
