"""Loads the judge's word tables from the package's data files, once."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml

from callout.core.language.tables import Tables
from callout.core.language.tables_builder import build_tables

_NAMES = (
    "acronyms", "additions", "alphabet", "contrasts", "corrections", "customs", "fillers", "hedges",
    "labels", "negations", "requests", "sounds", "status", "synonyms", "things", "units",
)  # fmt: skip


@lru_cache(maxsize=1)
def default_tables() -> Tables:
    """Return the tables shipped with the program."""
    folder = files("callout") / "data" / "judging"
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # plain strings: "on" stays a word
    raw: dict[str, Any] = {}
    for name in _NAMES:
        text = (folder / f"{name}.yaml").read_text(encoding="utf-8")
        raw[name] = yaml.load(text, Loader=loader)
    return build_tables(raw)
