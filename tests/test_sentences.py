"""Sentences for people stand in ``callout/core/sentences``, where they can be read in one go."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.bench.upkeep.sentences import ROOT, command, is_sentence, sentences_in, texts_in

ROOMS = sorted(
    str(path.parent.relative_to(ROOT))
    for path in ROOT.rglob("__init__.py")
    if not path.is_relative_to(ROOT / "core" / "sentences")
)
"""Rooms that keep no sentence of their own."""


def _strays(path: Path) -> list[str]:
    return [f'{path}:{line} "{text}"' for line, text in sentences_in(path)]


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
    assert _strays(path) == [f'{path}:5 "{{x}} is back."']


def test_each_sentence_is_written_once() -> None:
    seen: dict[str, str] = {}
    twice = []
    for path in sorted((ROOT / "core" / "sentences").rglob("*.py")):
        for line, text in texts_in(ast.parse(path.read_text(encoding="utf-8"))):
            if is_sentence(text) and text in seen:
                twice.append(f"{path}:{line} is {seen[text]}")
            seen.setdefault(text, f"{path}:{line}")
    assert not twice, "\n".join(twice)


def test_all_can_be_read_in_one_go() -> None:
    """The list names module, line and sentence; pages and scripts are among them."""
    told = CliRunner().invoke(command, []).output
    assert "core/sentences/checklist.py" in told
    assert "Now the deferred items." in told
    assert "data/glance/page.html" in told
    only = CliRunner().invoke(command, ["core/sentences"]).output
    assert "Now the deferred items." in only
    assert "page.html" not in only
