"""The crew's name in the settings file, and taking it out."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path

from callout.core.forgetting import plain_name

_HEAD = re.compile(r"\s*\[([^\[\]]+)\]\s*(#.*)?$")
_NAME = re.compile(r"\s*name\s*=")


def names_crew(path: Path, person: str) -> bool:
    """Say whether the settings at ``path`` name ``person`` as the crew."""
    try:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return False
    crew = told.get("crew")
    return isinstance(crew, dict) and plain_name(str(crew.get("name", ""))) == plain_name(person)


def take_out_crew_name(path: Path) -> bool:
    """Remove the line with the crew's name, all else left as it is; False when it cannot be."""
    try:
        text = path.read_text(encoding="utf-8")
        new = "".join(_without_name(text.splitlines(keepends=True)))
        wanted = tomllib.loads(text)
        del wanted["crew"]["name"]
        if tomllib.loads(new) != wanted:
            return False
        beside = path.with_name(f".{path.name}.new")
        beside.write_text(new, encoding="utf-8")
        os.replace(beside, path)
    except (OSError, KeyError, TypeError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        return False
    return True


def _without_name(lines: list[str]) -> list[str]:
    table, kept = "", []
    for line in lines:
        head = _HEAD.match(line)
        table = head[1].strip() if head else table
        if not (table == "crew" and _NAME.match(line)):
            kept.append(line)
    return kept
