"""Finds people's names in the settings file, and removes them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from callout.core.keeping.forgetting import plain_name
from callout.errors import CalloutError
from callout.outlet import save_text

_HEAD = re.compile(r"\s*\[([^\[\]]+)\]\s*(#.*)?$")
KEYS = (("crew", "name"), ("crew", "left"), ("crew", "right"), ("hearing", "voice"))
"""Settings that name people, as table and key."""
_KEY = re.compile(r"\s*(name|left|right|voice)\s*=")


def names_crew(path: Path, person: str) -> bool:
    """Say whether the settings at ``path`` name ``person``, as crew or as a voice."""
    return bool(_keys_naming(_read_settings(path), person))


def _read_settings(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return {}


def _keys_naming(told: dict[str, Any], person: str) -> set[tuple[str, str]]:
    return {
        (t, k) for t, k in KEYS if plain_name(_setting_text(told.get(t), k)) == plain_name(person)
    }


def _setting_text(table: object, key: str) -> str:
    return str(table.get(key, "")) if isinstance(table, dict) else ""


def take_out_crew_name(path: Path, person: str) -> bool:
    """Remove the lines that name ``person`` and leave the rest unchanged; False if that fails."""
    try:
        text = path.read_text(encoding="utf-8")
        wanted = tomllib.loads(text)
        gone = _keys_naming(wanted, person)
        new = "".join(_without_lines(text.splitlines(keepends=True), gone))
        for table, key in gone:
            del wanted[table][key]
        if tomllib.loads(new) != wanted:
            return False
        save_text(path, new, as_it_is=True)
    except (OSError, CalloutError, KeyError, TypeError, ValueError):
        return False
    return True


def _without_lines(lines: list[str], gone: set[tuple[str, str]]) -> list[str]:
    table = ""
    kept: list[str] = []
    for line in lines:
        head = _HEAD.match(line)
        table = head[1].strip() if head else table
        key = _KEY.match(line)
        if not (key and (table, key[1]) in gone):
            kept.append(line)
    return kept
