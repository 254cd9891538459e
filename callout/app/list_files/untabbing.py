"""Replaces indenting tabs with spaces, in whichever way gives a readable file."""

from __future__ import annotations

import re
from collections.abc import Sequence

from callout.app.shared.located_yaml import parse_yaml
from callout.errors import ChecklistInvalid


def first_tab(lines: Sequence[str]) -> int:
    """Return the number (from 1) of the first line indented with a tab, 0 if there is none."""
    return next((n for n, line in enumerate(lines, 1) if "\t" in _indent_of(line)), 0)


def without_tabs(lines: Sequence[str], file: str) -> tuple[str, ...]:
    """Return the lines with spaces for tabs, empty if no interpretation works."""
    for spaced in (*(_spaced_lines(lines, width) for width in (2, 4, 8)), _as_before(lines)):
        try:
            parse_yaml("\n".join(spaced), file)
        except ChecklistInvalid:
            continue
        return spaced
    return ()


def _spaced_lines(lines: Sequence[str], width: int) -> tuple[str, ...]:
    return tuple(
        _indent_of(line).expandtabs(width) + line[len(_indent_of(line)) :] for line in lines
    )


def _as_before(lines: Sequence[str]) -> tuple[str, ...]:
    """Return lines in which a tab means the same indentation as the previous line's keys."""
    out: list[str] = []
    for line in lines:
        if "\t" in _indent_of(line) and out:
            dash = re.match(r"\s*(?:- )?", out[-1])
            out.append(" " * (dash.end() if dash else 0) + line.lstrip())
        else:
            out.append(line)
    return tuple(out)


def _indent_of(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]
