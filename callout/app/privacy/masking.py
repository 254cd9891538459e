"""Copies the journals of several people without names and free text."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml
from platformdirs import user_data_path

from callout.app.reports.trainees import checked_folders
from callout.app.shared.command_tables import default_commands
from callout.core.conversation.records import JournalRecord
from callout.core.instructor.anonymise import anonymise_records, names_in
from callout.core.instructor.free_text import Mask, pseudonym, words_in
from callout.core.model.commands import Command
from callout.core.sentences import journals as sentences
from callout.errors import CalloutError, JournalDamaged
from callout.journal.demonstrations import is_demonstration
from callout.journal.jsonl_reader import JournalRead, read_journal
from callout.journal.jsonl_writer import body_of
from callout.journal.register import FOLDER as SIGN_OFFS
from callout.journal.repair import journal_bytes
from callout.outlet import save_bytes, save_text

SALT_FILE = "export-salt"
_SALT_BYTES = 32
_TABLES = ("contrasts", "labels", "negations", "status", "synonyms", "things", "units", "acronyms")
"""Word tables whose words may stay in a reply; the spelling alphabet contains people's names."""
_NUMBERS = (
    "zero one two three four five six seven eight nine niner ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty "
    "ninety hundred thousand point decimal minus plus double triple half oh set checked"
)


@dataclass(slots=True)
class Exported:
    """The outcome of an export."""

    trainees: int = 0
    """People who got a pseudonym."""
    journals: int = 0
    """Journals written."""
    problems: list[str] = field(default_factory=list)


def default_salt() -> Path:
    """Return where the secret behind the pseudonyms is kept."""
    return user_data_path("callout", appauthor=False) / SALT_FILE


def salt_at(path: Path) -> bytes:
    """Return the secret at ``path``, created on first use, readable by its owner only."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with _create_folder(path) as file:
            file.write(secrets.token_bytes(_SALT_BYTES))
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        pass
    except OSError as error:
        raise CalloutError(sentences.secret_not_created(path, _error_cause(error))) from error
    try:
        salt = path.read_bytes()
    except OSError as error:
        raise CalloutError(sentences.secret_unreadable(path, _error_cause(error))) from error
    if len(salt) < _SALT_BYTES:
        hint = sentences.SECRET_HINT
        raise CalloutError(sentences.secret_too_short(path), hint)
    return salt


def export_journals(
    folders: Sequence[Path], to: Path, salt: bytes, names: Iterable[str] = ()
) -> Exported:
    """Write the contents of ``folders`` to ``to``, with a folder for each trainee under a
    pseudonym.

    names: more people to remove. ``to`` must be new or empty; nothing in ``folders`` changes.
    """
    known = checked_folders(folders)
    _check_place(to, known)
    found = Exported()
    crews = _crews_by_journal(known)
    people = {*names, *crews.values(), *(folder.name for folder in known)}
    mask = Mask(salt, tuple(sorted(people)), _shared_vocabulary(people), usual_reasons())
    places: set[Path] = set()
    for folder in known:
        for path in _journal_paths(folder):
            read = _read_journal(path, found)
            if read:
                own = to / pseudonym(
                    "trainee", _person_named(read.records, crews) or folder.name, salt
                )
                _write_masked(_masked_place(own, path.relative_to(folder), mask), read, mask)
                places.add(own)
                found.journals += 1
    found.trainees = len(places)
    _write_note(to, found)
    return found


def _masked_place(own: Path, path: Path, mask: Mask) -> Path:
    *folders, name = path.parts
    return own.joinpath(*map(mask.coded, folders), mask.coded(Path(name).stem) + Path(name).suffix)


def _crews_by_journal(folders: Iterable[Path]) -> dict[str, str]:
    """Return the people named in each journal, by session and flight."""
    crews = {}
    for path in (path for folder in folders for path in _journal_paths(folder)):
        with suppress(JournalDamaged):
            for name in names_in(read_journal(path).records[:1]):
                crews[path.stem] = name
    return crews


def _person_named(records: Sequence[JournalRecord], crews: Mapping[str, str]) -> str:
    """Return the person named in a journal, or in that of its flight."""
    sector = getattr(records[0], "about", {}).get("sector", "")
    return next(iter(names_in(records)), crews.get(sector, ""))


def usual_reasons() -> frozenset[str]:
    """Return the reasons for a skip that say nothing about a person."""
    return frozenset(default_commands().entry(Command.SKIP).endings)


def _shared_vocabulary(people: Iterable[str]) -> frozenset[str]:
    commands = default_commands()
    said = [*commands.phrases(), *commands.fillers, *commands.connectors, _NUMBERS]
    said += [phrase for group in commands.answers.values() for phrase in group]
    said += [phrase for group in commands.desk.values() for phrase in group]
    for name in _TABLES:
        text = (files("callout") / "data" / "judging" / f"{name}.yaml").read_text(encoding="utf-8")
        said += _all_strings(yaml.load(text, Loader=yaml.BaseLoader))
    return words_in(said) - words_in(people)


def _all_strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, one in value.items():
            yield str(key)
            yield from _all_strings(one)
    elif isinstance(value, list):
        for one in value:
            yield from _all_strings(one)


def _journal_paths(folder: Path) -> list[Path]:
    inner = (p for p in sorted(folder.iterdir()) if p.is_dir() and p.name != SIGN_OFFS)
    places = (folder, *inner)
    return [path for place in places for path in sorted(place.glob("*.jsonl"))]


def _read_journal(path: Path, found: Exported) -> JournalRead | None:
    try:
        read = read_journal(path)
    except JournalDamaged as error:
        found.problems.append(sentences.not_exported(error.message))
        return None
    return None if is_demonstration(read.records) else read  # nobody's replies


def _check_place(to: Path, folders: Sequence[Path]) -> None:
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise CalloutError(sentences.not_empty_folder(to), sentences.NEW_FOLDER_HINT)
    inside = [folder for folder in folders if to.resolve().is_relative_to(folder)]
    if inside:
        raise CalloutError(sentences.is_inside(to, inside[0]), sentences.OTHER_FOLDER_HINT)


def _write_masked(path: Path, read: JournalRead, mask: Mask) -> None:
    bodies = ((record.seq, body_of(record)) for record in anonymise_records(read.records, mask))
    save_bytes(path, journal_bytes(bodies, read.lost), folders=True)


def _write_note(to: Path, found: Exported) -> None:
    note = sentences.pseudonyms_readme(found.trainees)
    save_text(to / "README.txt", note, folders=True)


def _create_folder(path: Path) -> Any:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    return os.fdopen(handle, "wb")


def _error_cause(error: OSError) -> str:
    return (error.strerror or str(error)).rstrip(".")
