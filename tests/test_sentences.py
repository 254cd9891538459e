"""Sentences for people stand in ``callout/core/sentences``, where they can be read in one go."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import callout

ROOT = Path(callout.__file__).parent
ROOMS = (
    "core/checklist_run",
    "core/conversation",
    "core/drill",
    "core/flight_run",
    "app/doctor",
    "app/running",
)
"""Rooms that speak to people and keep no sentence of their own."""
FOR_PROGRAMMERS = {"AssertionError", "NotImplementedError", "TypeError", "ValueError"}
WORDS_OF_A_SENTENCE = 2


def _text(node: ast.AST) -> str | None:
    """Return a text as written, each thing filled in as "X"; None for what is no text."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = (part.value if isinstance(part, ast.Constant) else "X" for part in node.values)
        return "".join(str(part) for part in parts)
    return None


def _texts(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and text of everything that is neither a docstring nor for programmers."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue
        if isinstance(child, ast.Call) and ast.unparse(child.func) in FOR_PROGRAMMERS:
            continue
        found = _text(child)
        if found is None:
            yield from _texts(child)
        else:
            yield getattr(child, "lineno", 0), found


def _is_sentence(text: str) -> bool:
    words = re.findall(r"[A-Za-z][A-Za-z'-]+", text)
    ends = text.strip().endswith((".", "?", "!"))
    return ends and len(words) >= WORDS_OF_A_SENTENCE and text.strip()[:1].isupper()


def _strays(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [f'{path}:{line} "{text}"' for line, text in _texts(tree) if _is_sentence(text)]


@pytest.mark.parametrize("room", ROOMS)
def test_no_sentence_strays_from_its_place(room: str) -> None:
    strays = [stray for path in sorted((ROOT / room).glob("*.py")) for stray in _strays(path)]
    assert not strays, "put these into callout/core/sentences:\n" + "\n".join(strays)


def test_a_stray_sentence_is_seen(tmp_path: Path) -> None:
    path = tmp_path / "stray.py"
    path.write_text(
        '"""A docstring is none."""\n'
        'def f(x: str) -> str:\n    if x == "not one":\n        raise ValueError("Nor is this.")\n'
        '    return f"{x} is back."\n'
    )
    assert _strays(path) == [f'{path}:5 "X is back."']


def test_each_sentence_is_written_once() -> None:
    seen: dict[str, str] = {}
    twice = []
    for path in sorted((ROOT / "core" / "sentences").glob("*.py")):
        for line, text in _texts(ast.parse(path.read_text(encoding="utf-8"))):
            if _is_sentence(text) and text in seen:
                twice.append(f"{path}:{line} is {seen[text]}")
            seen.setdefault(text, f"{path}:{line}")
    assert not twice, "\n".join(twice)
