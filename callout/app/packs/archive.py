"""A pack as one file: identical for identical lists, read without trusting it."""

from __future__ import annotations

import hashlib
import io
import json
import stat
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from callout.core.packs.manifest import (
    MOST_BYTES,
    MOST_FILE_BYTES,
    MOST_FILES,
    About,
    Manifest,
    is_file_name,
    manifest_from,
    manifest_values,
)
from callout.core.sentences import packs as say
from callout.errors import ChecklistInvalid

ENDING: Final = ".zip"
_MANIFEST: Final = "pack.json"
_WHEN: Final = (1980, 1, 1, 0, 0, 0)
"""The first date a zip file can hold, so that identical lists make an identical file."""
_DAMAGED: Final = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError,
                   NotImplementedError)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack in memory: what it states, and its files by name."""

    about: About
    files: Mapping[str, bytes]


def packed_bytes(pack: Pack) -> bytes:
    """Return the one file that ``pack`` travels as."""
    sums = {name: hashlib.sha256(data).hexdigest() for name, data in pack.files.items()}
    told = manifest_values(Manifest(pack.about, sums))
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        first = json.dumps(told, indent=1, ensure_ascii=False).encode("utf-8")
        for name, data in [(_MANIFEST, first), *sorted(pack.files.items())]:
            info = zipfile.ZipInfo(name, _WHEN)
            info.external_attr = 0o644 << 16
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, data)
    return held.getvalue()


def read_pack(path: Path) -> Pack:
    """Return the pack in ``path``; raise ChecklistInvalid for anything irregular.

    Nothing is unpacked to disk, and no name in it is used as a path.
    """
    if not path.is_file():
        raise ChecklistInvalid(say.no_archive(path), say.GET_IT_AGAIN)
    if path.stat().st_size > MOST_BYTES:
        raise _refused(path, say.too_large(MOST_BYTES))
    try:
        with zipfile.ZipFile(path) as archive:
            return _checked_pack(archive, path)
    except _DAMAGED as error:
        raise ChecklistInvalid(say.no_archive(path), say.GET_IT_AGAIN) from error


def _checked_pack(archive: zipfile.ZipFile, path: Path) -> Pack:
    infos = archive.infolist()
    if len(infos) > MOST_FILES + 1:
        raise _refused(path, say.too_many_files(len(infos), MOST_FILES))
    names: set[str] = set()
    for info in infos:
        _check_entry(info, path)
        if info.filename.casefold() in names:
            raise _refused(path, say.twice_there(info.filename))
        names.add(info.filename.casefold())
    if _MANIFEST not in names:
        raise ChecklistInvalid(say.no_manifest(path), say.GET_IT_AGAIN)
    manifest = _read_manifest(archive, path)
    return Pack(manifest.about, _checked_files(archive, manifest, path))


def _check_entry(info: zipfile.ZipInfo, path: Path) -> None:
    mode = info.external_attr >> 16
    plain = stat.S_IFMT(mode) in (0, stat.S_IFREG) and not info.is_dir()
    if not plain or info.flag_bits & 0x1:
        raise _refused(path, say.no_plain_file(info.filename))
    if info.orig_filename != info.filename or not (
        info.filename == _MANIFEST or is_file_name(info.filename)
    ):
        raise _refused(path, say.unnamed_file(info.orig_filename))


def _read_manifest(archive: zipfile.ZipFile, path: Path) -> Manifest:
    data = _bounded(archive, _MANIFEST, path)
    try:
        told = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise ChecklistInvalid(say.no_manifest(path), say.GET_IT_AGAIN) from error
    return manifest_from(told, str(path))


def _checked_files(archive: zipfile.ZipFile, manifest: Manifest, path: Path) -> dict[str, bytes]:
    there = set(archive.namelist()) - {_MANIFEST}
    for name in sorted(there - manifest.sums.keys()):
        raise _refused(path, say.unnamed_file(name))
    files: dict[str, bytes] = {}
    whole = 0
    for name, wanted in manifest.sums.items():
        if name not in there:
            raise _refused(path, say.missing_file(name))
        data = _bounded(archive, name, path)
        whole += len(data)
        if whole > MOST_BYTES:
            raise _refused(path, say.too_large(MOST_BYTES))
        if hashlib.sha256(data).hexdigest() != wanted:
            raise _refused(path, say.wrong_checksum(name))
        files[name] = data
    return files


def _bounded(archive: zipfile.ZipFile, name: str, path: Path) -> bytes:
    """Return a file of the archive; its stated size is not trusted."""
    with archive.open(name) as part:
        data = part.read(MOST_FILE_BYTES + 1)
    if len(data) > MOST_FILE_BYTES:
        raise _refused(path, say.too_large(MOST_FILE_BYTES))
    return data


def _refused(path: Path, why: str) -> ChecklistInvalid:
    return ChecklistInvalid(say.archive_refused(path, why), say.GET_IT_AGAIN)
