"""Lists with seeded defects, made from one clean folder and a table of replacements."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import yaml

from callout.errors import CalloutError

Folder = Mapping[str, str]
"""File name -> text."""

_RUN = re.compile(r"@(items|plain) (\d+)@(\s*)")
_CONTROLS = (
    "Alpha", "Bravo", "Charlie", "Delta", "Echo", "Foxtrot", "Golf", "Hotel", "India", "Juliett",
    "Kilo", "Lima", "Mike", "November", "Oscar", "Papa", "Quebec", "Romeo", "Sierra", "Tango",
    "Uniform", "Victor", "Whiskey", "X-ray", "Yankee", "Zulu",
)  # fmt: skip
_STATES = (("open", "closed"), ("up", "down"), ("in", "out"), ("armed", "disarmed"))


@dataclass(frozen=True, slots=True)
class Defect:
    """Some replaced texts of the clean folder, and the rules that must report."""

    name: str
    rules: frozenset[str]
    edits: tuple[tuple[str, str, str], ...]
    """File, text before, text after."""

    def applied(self, clean: Folder) -> Folder:
        """Return the folder with the defect in it; raise CalloutError if it does not fit."""
        made = dict(clean)
        for file, before, after in self.edits:
            if made[file].count(before) != 1:
                raise CalloutError(f'"{self.name}": {before!r} is not once in {file}.')
            made[file] = made[file].replace(before, after)
        return made


@dataclass(frozen=True, slots=True)
class Corpus:
    """A clean folder and its defects."""

    clean: Folder
    defects: tuple[Defect, ...]


def defect_corpus() -> Corpus:
    """Return the shipped corpus: every single defect, then pairs in different files."""
    text = (files("callout") / "data" / "bench" / "defects.yaml").read_text(encoding="utf-8")
    raw = yaml.load(text, Loader=yaml.BaseLoader)
    singles = tuple(_defect(entry) for entry in raw["defects"])
    return Corpus(raw["clean"], (*singles, *_pairs(singles)))


def _defect(entry: Mapping[str, Any]) -> Defect:
    edits = (
        (file, _dedented(before), _filled(_dedented(after)))
        for file, pairs in entry.items()
        if file.endswith(".yaml")
        for before, after in pairs.items()
    )
    return Defect(entry["name"], frozenset(entry["rules"]), tuple(edits))


def _dedented(text: str) -> str:
    """Return ``text`` as written in the file: a block of YAML loses its indent of four."""
    return re.sub(r"^(?:    )(?=  )", "", re.sub(r"(?<=@)    (?=  )", "", text), flags=re.MULTILINE)


def _pairs(singles: tuple[Defect, ...]) -> Iterator[Defect]:
    """Yield defects in pairs: one in each list, of different rules, each used about once."""
    usable = [d for d in singles if not d.rules & _ALONE and len({e[0] for e in d.edits}) == 1]
    first = [d for d in usable if d.edits[0][0] == "prepare.yaml"]
    second = [d for d in usable if d.edits[0][0] == "depart.yaml"]
    for n, one in enumerate(first):
        for other in (second[n % len(second)], second[(n + 7) % len(second)]):
            if not one.rules & other.rules:
                yield Defect(
                    f"{one.name}; {other.name}", one.rules | other.rules, one.edits + other.edits
                )


_ALONE = frozenset({"format", "follows", "same-call", "overlay", "overlay-base", "overlay-removes"})
"""Defects that hide others, or need both lists unchanged."""


def _filled(text: str) -> str:
    """Insert a run of good items where the table asks for one."""
    return _RUN.sub(lambda found: _run(found[1], int(found[2]), found[3]), text)


def _run(kind: str, count: int, indent: str) -> str:
    pad = indent.lstrip("\n")
    lines = []
    for n in range(count):
        right, wrong = _STATES[n % len(_STATES)]
        lines += [
            f"{pad}- id: extra-{n}",
            f"{pad}  challenge: {_CONTROLS[n]} valve",
            f"{pad}  response: {right}",
            f"{pad}  wrong: {wrong}",
            *([f"{pad}  critical: yes"] if kind == "items" else []),
        ]
    return "\n".join(lines) + "\n" + indent
