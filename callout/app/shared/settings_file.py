"""Changes one line of a person's settings file and leaves the rest as it is."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

from callout import outlet
from callout.app.shared.setting_keys import KEYS
from callout.app.shared.settings import SettingsInvalid, settings_from, settings_path
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import settings_help as sentences


def value_of(key: str, text: str) -> str | bool | int | float:
    """Return the value of ``text``, as typed, for ``key``; raises SettingsInvalid for an unknown
    key.

    Text that is not a valid value is returned unchanged, for the check to refuse.
    """
    spec = KEYS.get(key)
    if spec is None:
        raise SettingsInvalid(sentences.no_setting(key), _nearest_key(key))
    if spec.kind is bool:
        return {"true": True, "yes": True, "false": False, "no": False}.get(text.lower(), text)
    for kind in (int, float) if spec.kind in (int, float) else ():
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def _nearest_key(key: str) -> str:
    return did_you_mean(key, KEYS) or "`callout settings` lists them."


def save_setting(key: str, value: str | bool | int | float, path: Path | None = None) -> Path:
    """Set ``table.name``; the file is written completely or not at all.

    Raises SettingsInvalid if the file cannot be read, changed or written.
    """
    path = path or settings_path()
    table, _, name = key.partition(".")
    try:
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        after = _changed_text(before, table, name, json.dumps(value, ensure_ascii=False))
        settings_from(tomllib.loads(after), str(path))
        outlet.save_text(path, after, "The settings", as_it_is=True, folders=True)
    except tomllib.TOMLDecodeError as error:
        raise SettingsInvalid(
            sentences.not_toml(path, error), sentences.SETTINGS_FILE_HINT
        ) from error
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsInvalid(sentences.settings_not_saved(path, error)) from error
    return path


def _changed_text(text: str, table: str, name: str, value: str) -> str:
    line = f"{name} = {value}"
    lines = text.splitlines()
    start = next((n for n, old in enumerate(lines) if _is_table(old, table)), None)
    if start is None:
        gap = [""] if lines else []
        return "\n".join([*lines, *gap, f"[{table}]", line]) + "\n"
    end = next(
        (n for n in range(start + 1, len(lines)) if lines[n].lstrip().startswith("[")), len(lines)
    )
    for n in range(start + 1, end):
        if re.match(rf"\s*{re.escape(name)}\s*=", lines[n]):
            return "\n".join([*lines[:n], line, *lines[n + 1 :]]) + "\n"
    return "\n".join([*lines[: start + 1], line, *lines[start + 1 :]]) + "\n"


def _is_table(line: str, table: str) -> bool:
    return re.match(rf"\s*\[\s*{re.escape(table)}\s*\]\s*(#.*)?$", line) is not None
