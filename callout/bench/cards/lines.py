"""The lines of the cards, and a person's reading of them."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml


@dataclass(frozen=True, slots=True)
class Truth:
    """An item as a person reads it."""

    challenge: str
    replies: tuple[str, ...]
    """Empty: the card leaves it open."""
    required: bool = False
    asked: bool = False
    """Nobody can tell; it has to be asked."""
    who: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line: an item with its truth, a heading, or other words."""

    kind: str
    """item, section, note or caution."""
    text: str
    response: str = ""
    truth: Truth | None = None


@dataclass(frozen=True, slots=True)
class CardText:
    """What is printed on one card."""

    title: str
    lines: tuple[Line, ...]
    furniture: tuple[str, ...] = ()
    call: str = ""
    words: Mapping[str, Any] = field(default_factory=dict)

    @property
    def truths(self) -> tuple[Truth, ...]:
        """The items in order."""
        return tuple(line.truth for line in self.lines if line.truth is not None)


@lru_cache(maxsize=1)
def _pools() -> Mapping[str, Any]:
    text = (files("callout") / "data" / "bench" / "cards.yaml").read_text("utf-8")
    pools: Mapping[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)
    return pools


def card_text(pool: str, seed: int, plain: int, hard: int) -> CardText:
    """Return a card of ``plain`` and ``hard`` lines from ``pool``, the same for the same seed."""
    words = _pools()[pool]
    rng = random.Random(f"{pool}-{seed}")
    items = [_item(entry) for entry in rng.sample(words["plain"], plain)]
    items += [_item(entry) for entry in rng.sample(words["hard"], hard)]
    rng.shuffle(items)
    items = _unlike(items)
    lines: list[Line] = []
    sections = rng.sample(words["sections"], 3) if len(items) > 6 else []
    for at, item in enumerate(items):
        if sections and at % 5 == 0 and at // 5 < len(sections):
            lines.append(Line("section", sections[at // 5]))
        lines.append(item)
        if hard and at in (2, 7):
            kind = "note" if at == 2 else "caution"
            lines.append(Line(kind, rng.choice(words[f"{kind}s"])))
    title = rng.choice(words["titles"])
    call = f"{title} CHECKLIST COMPLETE" if rng.random() < 0.6 else ""
    return CardText(title, tuple(lines), tuple(words["furniture"]), call, words)


def _unlike(items: Sequence[Line]) -> list[Line]:
    """Return items without repeated challenges."""
    seen: dict[str, Line] = {}
    for item in items:
        seen.setdefault(item.text.split("(")[0].strip(), item)
    return list(seen.values())


def _item(entry: Mapping[str, str]) -> Line:
    challenge, _, response = (part.strip() for part in entry["printed"].partition("|"))
    parts = [part.strip() for part in entry["is"].split("|")]
    told = dict(p.split("=", 1) for p in " ".join(parts[2:]).split() if "=" in p)
    flags = {p for p in " ".join(parts[2:]).split() if "=" not in p}
    replies = () if parts[1] == "?" else tuple(r.strip() for r in parts[1].split(" / "))
    truth = Truth(
        parts[0], replies, "required" in flags, "asked" in flags,
        told.get("who", ""), told.get("when", ""),
    )  # fmt: skip
    return Line("item", challenge, response, truth)
