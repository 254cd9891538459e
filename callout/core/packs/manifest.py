"""What a pack states, and what it holds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from callout.core.sentences import packs as say
from callout.errors import ChecklistInvalid

PACK_FORMAT: Final = 1
MOST_FILES: Final = 300
MOST_FILE_BYTES: Final = 1_000_000
MOST_BYTES: Final = 20_000_000
PAIRS_FILE: Final = "pairs.jsonl"
_NAME: Final = re.compile(r"[a-z][a-z0-9-]{0,59}")
_FILE: Final = re.compile(r"(?:overlays/)?[a-z0-9][a-z0-9_-]{0,80}\.(?:yaml|yml|md|txt)")
_DEVICES: Final = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)\.")
"""Names that are devices on some systems, whatever follows the dot."""
_VERSION: Final = re.compile(r"\d{1,4}(?:\.\d{1,4}){0,3}(?:[-.]?[a-z0-9]{1,20})?")
_SUM: Final = re.compile(r"[0-9a-f]{64}")
_LONGEST: Final = 200


@dataclass(frozen=True, slots=True)
class About:
    """Who made a pack, from what, and what others may do with it."""

    name: str
    title: str
    version: str
    source: str
    """What the lists were made from: "own flow", "club procedures of 2025"."""
    author: str
    licence: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """The contents of a pack's first file."""

    about: About
    sums: Mapping[str, str]
    """Name of each file -> its SHA-256 in hexadecimal."""


def about_from(told: Mapping[str, Any], where: str) -> About:
    """Return what a pack says of itself; raise ChecklistInvalid naming what is missing."""
    texts: dict[str, str] = {}
    for key in About.__dataclass_fields__:
        value = told.get(key)
        if not isinstance(value, str) or not value.strip():
            raise ChecklistInvalid(say.about_missing(where, key), say.about_missing_hint(key))
        if len(value) > _LONGEST or any(ord(c) < 32 or ord(c) == 127 for c in value):
            raise ChecklistInvalid(say.unusable_text(where, key), say.ONE_LINE)
        texts[key] = " ".join(value.split())
    if not _NAME.fullmatch(texts["name"]):
        raise ChecklistInvalid(say.unusable_name(where, texts["name"]), say.HOW_NAMES_LOOK)
    if not _VERSION.fullmatch(texts["version"]):
        raise ChecklistInvalid(say.unusable_version(where, texts["version"]), say.HOW_VERSIONS_LOOK)
    return About(**texts)


def manifest_from(told: Any, where: str) -> Manifest:
    """Return a manifest out of plain values; raise ChecklistInvalid for anything unusual."""
    if not isinstance(told, dict) or told.get("callout_pack") != PACK_FORMAT:
        raise ChecklistInvalid(say.no_manifest(where), say.GET_IT_AGAIN)
    about = about_from(told, where)
    sums = told.get("files")
    if not isinstance(sums, dict) or not sums or len(sums) > MOST_FILES:
        raise ChecklistInvalid(say.unusable_files(where, MOST_FILES), say.GET_IT_AGAIN)
    for name, value in sums.items():
        if not is_file_name(name):
            raise ChecklistInvalid(say.unusable_file(where, name), say.GET_IT_AGAIN)
        if not isinstance(value, str) or not _SUM.fullmatch(value):
            raise ChecklistInvalid(say.no_checksum(where, name), say.GET_IT_AGAIN)
    return Manifest(about, dict(sums))


def manifest_values(manifest: Manifest) -> dict[str, Any]:
    """Return a manifest as plain values."""
    about = {key: getattr(manifest.about, key) for key in About.__dataclass_fields__}
    return {"callout_pack": PACK_FORMAT, **about, "files": dict(sorted(manifest.sums.items()))}


def is_file_name(name: object) -> bool:
    """Say whether a pack may hold a file of that name: never outside its own folder."""
    if not isinstance(name, str):
        return False
    last = name.rsplit("/", 1)[-1]
    return name == PAIRS_FILE or (
        _FILE.fullmatch(name) is not None and _DEVICES.match(last) is None
    )


def newer_version(one: str, other: str) -> bool:
    """Say whether ``one`` is a later version than ``other``: by numbers, from the left."""
    return _version_key(one) > _version_key(other)


def _version_key(version: str) -> list[tuple[int, str]]:
    return [(int(n) if n else 0, word) for n, word in re.findall(r"(\d*)([a-z]*)[.-]?", version)]
