"""Cards laid out line by line: what is printed, and a person's reading of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

import yaml

from callout.bench.cards.lines import CardText, Line, Truth

_KINDS: Final[Mapping[str, str]] = {
    "# ": "title", "== ": "section", "? ": "condition", "! ": "note", "> ": "call",
    "~~": "column", "//": "page",
}  # fmt: skip
_WHO: Final[Mapping[str, str]] = {
    "PF": "pilot-flying", "PM": "pilot-monitoring", "BOTH": "both",
    "CAPT": "left-seat", "FO": "right-seat",
}  # fmt: skip
_MARK: Final = re.compile(r"\s@([A-Z/]+)\s*$")


@dataclass(frozen=True, slots=True)
class SetLine(Line):
    """A line of such a card."""

    who: str = ""
    """The crew mark as printed."""


@lru_cache(maxsize=1)
def set_decks() -> Mapping[str, Mapping[str, Any]]:
    """Return the decks: name -> cards by name, each with its setting, camera and lines."""
    text = (files("callout") / "data" / "bench" / "set-cards.yaml").read_text("utf-8")
    decks: Mapping[str, Mapping[str, Any]] = yaml.safe_load(text)
    return decks


def sheet_of(deck: str, name: str) -> Mapping[str, Any]:
    """Return the sheet of the card ``name``; a photograph may show the sheet of another card."""
    told: Mapping[str, Any] = set_decks()[deck][name]
    return set_decks()[deck][told["of"]] if "of" in told else told


def set_text(deck: str, name: str) -> CardText:
    """Return the text of the card ``name``."""
    lines = tuple(_lines(sheet_of(deck, name)["card"]))
    title = next((line.text for line in lines if line.kind == "title"), "")
    return CardText(title, lines)


def _lines(card: str) -> Iterator[SetLine]:
    for line in card.splitlines():
        kind = next((mark for mark in _KINDS if line.startswith(mark)), "")
        if kind:
            yield SetLine(_KINDS[kind], line.removeprefix(kind).strip())
        elif line.strip():
            yield _item(line)


def _item(line: str) -> SetLine:
    printed, _, told = (part.strip() for part in line.partition("=>"))
    challenge, _, response = (part.strip() for part in printed.partition("|"))
    mark = _MARK.search(challenge)
    challenge = _MARK.sub("", challenge)
    who = mark[1] if mark else ""
    plain = f"{challenge} | {response}".replace("____", "{}")
    truth = truth_of(told or plain, _WHO.get(who, ""))
    return SetLine("item", challenge, response, truth, who)


def truth_of(told: str, who: str = "") -> Truth:
    """Return what a person reads, from ``challenge | reply / reply | key=value ...``."""
    parts = [part.strip() for part in told.split("|")]
    flags = " ".join(parts[2:]).split()
    named = dict(flag.split("=", 1) for flag in flags if "=" in flag)
    replies = () if parts[1] == "?" else tuple(r.strip() for r in parts[1].split(" / "))
    return Truth(parts[0], replies, "required" in flags, "asked" in flags,
                 named.get("who", who), named.get("when", ""))  # fmt: skip
