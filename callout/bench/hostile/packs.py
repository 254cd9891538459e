"""Damaged packs: the archive, what it says of itself, and the lists in it."""

from __future__ import annotations

import hashlib
import io
import json
import random
import tempfile
import zipfile
from pathlib import Path
from typing import Final

from callout.app.packs.packing import differing_replies, open_pack, pack_folder, write_pack
from callout.bench.hostile.damage import damaged_bytes, damaged_text, refusal_word
from callout.errors import CalloutError

_NAMES: Final = (
    "../taxi.yaml", "/etc/taxi.yaml", "a/b/c.yaml", "CON.yaml", "taxi.yaml ", "TAXI.YAML", "x.exe",
    "overlays/../../x.yaml", "taxi\x00.yaml", "pack.json", "\u202etaxi.yaml", "a" * 300,
)  # fmt: skip
_VALUES: Final[tuple[object, ...]] = (
    None,
    0,
    -1,
    "",
    [],
    {},
    "x" * 5_000,
    ["a"],
    "\u202e",
    True,
    1e308,
)


_TOLD: Final = {
    "title": "Seeds", "version": "1", "author": "A. Nobody", "licence": "CC0-1.0", "source": "own",
}  # fmt: skip


class Packs:
    """The pack of a shipped folder, harmed in one of its parts; sums are mostly made to fit."""

    suffix = ".zip"
    slow_s = 4.0

    def __init__(self, seeds: Path, where: Path) -> None:
        self._path = where / "fuzz.zip"
        write_pack(pack_folder(seeds, _TOLD), self._path)
        with zipfile.ZipFile(self._path) as archive:
            self._parts = {name: archive.read(name) for name in archive.namelist()}

    def make(self, rng: random.Random) -> bytes:
        """Return a damaged pack."""
        parts = dict(self._parts)
        files = [name for name in parts if name != "pack.json"]
        name = rng.choice(files)
        way = rng.randrange(7)
        if way == 0:
            parts[rng.choice(_NAMES)] = parts[name]
        elif way == 1:
            parts[name] = b" " * rng.choice((100_000, 20_000_000))
        elif way in (2, 3):
            text = parts[name].decode("utf-8", "replace")
            parts[name] = damaged_text(rng, text).encode("utf-8", "replace")
        elif way == 4:
            del parts[name]
        parts["pack.json"] = self._manifest(rng, parts)
        whole = _archived(rng, parts)
        return damaged_bytes(rng, whole) if way == 5 else whole

    def _manifest(self, rng: random.Random, parts: dict[str, bytes]) -> bytes:
        told = json.loads(self._parts["pack.json"])
        sums = next((key for key, value in told.items() if isinstance(value, dict)), "")
        if sums and rng.random() < 0.9:
            told[sums] = {
                name: hashlib.sha256(data).hexdigest()
                for name, data in parts.items()
                if name != "pack.json"
            }
        if rng.random() < 0.2:
            told[rng.choice([*told, "more"])] = rng.choice(_VALUES)
        made = json.dumps(told)
        return (damaged_text(rng, made) if rng.random() < 0.15 else made).encode("utf-8", "replace")

    def take(self, data: bytes) -> str:
        """Open it, and run the pairs that it carries."""
        self._path.write_bytes(data)
        usual, tempfile.tempdir = tempfile.tempdir, str(self._path.parent)
        try:
            differing_replies(open_pack(self._path))
        except CalloutError as error:
            return refusal_word(error)
        finally:
            tempfile.tempdir = usual
        return "taken"


def _archived(rng: random.Random, parts: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            info = zipfile.ZipInfo(name or "x", (1980, 1, 1, 0, 0, 0))
            info.compress_type = rng.choice((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED))
            link = rng.random() < 0.02
            info.external_attr = (0o120777 if link else 0o100644) << 16
            archive.writestr(info, data)
    return held.getvalue()
