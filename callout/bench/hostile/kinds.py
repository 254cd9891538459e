"""The kinds of inputs that are tried."""

from __future__ import annotations

import importlib
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Final, cast

from callout.bench.hostile.damage import Target


@dataclass(frozen=True, slots=True)
class Kind:
    """Where to find the code that makes and handles one kind of input."""

    module: str
    name: str
    folder: str = "."
    """That whole ones come from, in the repository."""


_HERE: Final = "callout.bench.hostile"
KINDS: Final = {
    "lists": Kind(f"{_HERE}.lists", "Lists", "checklists"),
    "journals": Kind(f"{_HERE}.journals", "Journals", "tests/data/journals"),
    "recordings": Kind(f"{_HERE}.recordings", "Recordings"),
    "workbooks": Kind(f"{_HERE}.workbooks", "Workbooks"),
    "conditions": Kind(f"{_HERE}.conditions", "Conditions"),
    "queries": Kind(f"{_HERE}.queries", "Queries"),
    "pdf": Kind(f"{_HERE}.papers", "Pdfs"),
    "word": Kind(f"{_HERE}.papers", "Documents"),
    "photos": Kind(f"{_HERE}.photos", "Photos"),
    "packs": Kind(f"{_HERE}.packs", "Packs", "checklists/tarnbeck-one"),
}


def open_target(kind: Kind, root: Path, where: Path) -> Target:
    """Return what makes and takes one kind.

    root: the repository. where: a folder for its files.
    """
    made = getattr(importlib.import_module(kind.module), kind.name)
    return cast(Target, made(root / kind.folder, where))


def input_of(target: Target, seed: int) -> bytes:
    """Return the input of one seed, the same each time."""
    return target.make(random.Random(seed))
