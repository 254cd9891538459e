"""The crew's name in the settings file, and taking it out."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import Any

from callout.core.forgetting import plain_name

_HEAD = re.compile(r"\s*\[([^\[\]]+)\]\s*(#.*)?$")
KEYS = ("name", "left", "right")
"""Settings of the table ``crew`` that name people."""
_KEY = re.compile(r"\s*(name|left|right)\s*=")


def names_crew(path: Path, person: str) -> bool:
    """Say whether the settings at ``path`` name ``person`` as the crew, or one of it."""
    return bool(_naming(_told(path), person))


def _told(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return {}


def _naming(told: dict[str, Any], person: str) -> set[str]:
    crew = told.get("crew")
    named = crew if isinstance(crew, dict) else {}
    return {k for k in KEYS if k in named and plain_name(str(named[k])) == plain_name(person)}


def take_out_crew_name(path: Path, person: str) -> bool:
    """Remove the lines that name ``person``, all else left as it is; False when it cannot be."""
    try:
        text = path.read_text(encoding="utf-8")
        wanted = tomllib.loads(text)
        gone = _naming(wanted, person)
        new = "".join(_without(text.splitlines(keepends=True), gone))
        wanted["crew"] = {k: v for k, v in wanted["crew"].items() if k not in gone}
        if tomllib.loads(new) != wanted:
            return False
        beside = path.with_name(f".{path.name}.new")
        beside.write_text(new, encoding="utf-8")
        os.replace(beside, path)
    except (OSError, KeyError, TypeError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        return False
    return True


def _without(lines: list[str], keys: set[str]) -> list[str]:
    table = ""
    kept: list[str] = []
    for line in lines:
        head = _HEAD.match(line)
        table = head[1].strip() if head else table
        key = _KEY.match(line)
        if not (table == "crew" and key and key[1] in keys):
            kept.append(line)
    return kept
