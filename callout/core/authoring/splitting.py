"""Divides one line of text into challenge and response by marks rather than positions."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

BULLET: Final = re.compile(
    r"^\s*(?:[-*+\u2022\u25a1\u2610\u2611\u2612\u25cf\u25aa\u25cb\u25e6\u00b7\u25c6\u25b6\u25ba\u27a2"
    r"\u2751\uf0a7\uf0b7]\s+"
    r"|[\u25a1\u2610\u2611\u2612\u2751\u25cf\u25aa\u25cb\u25e6\u25c6]"
    r"|\[[ xX]?\]\s*|\(\s?\)\s+|\(?\d{1,3}[.)](?:\s+|(?=[A-Za-z]))"
    r"|(?:[a-z][.)]|[A-Z]\)|[ivx]{2,5}[.)]|[IVX]{2,5}[.)])\s+)+"
)
"""Bullets, tick boxes and numbers at the beginning of an item."""
TICK: Final = re.compile(r"(?<=\S)\s+(?:[\u25a1\u2610\u2611\u2612\u25a2\u2751]|\[\s?\])\s*$")
"""A tick box after a response."""
_STRONG: Final = re.compile(
    r"(?<!\s)\s*(?:(?:[.\u2024\u00b7\u2022\u22c5\uff0e]\s?){3,}|(?:~\s?){3,}"
    r"|(?:(?<!\d)(?<!\d )\u2026\s?|\u2026\s?(?!\s?\d))+|\.{2}(?=\s|$)|\t+|\s\.{2}"
    r"|(?<=\w)\s\.\s+(?=\S))\s*"
)
_RUN: Final = re.compile(r"(?<!\s)\s*(?:-{3,}|={3,}|~{3,}|\u2014{2,}|(?<!_)_{15,}+)>?\s*")
_WIDE: Final = re.compile(r"\s{3,}")
_MARK: Final = re.compile(
    r"(?<!\s)\s+[-\u2013\u2014]{1,3}>?\s+|:\s+|(?<=[A-Za-z)])\s?:|(?<!\s)\s*[\u2192\u21d2\u27f6\u2794\u279c\u25b6\u25ba\u25b8\u00bb\u203a]\s*|(?<!\s)\s+>>\s+|(?<!\s)\s+=\s+"
)
_LINE: Final = re.compile(r"(?<!\s)\s*_{2,}\s*")

_TO: Final = re.compile(
    r"(?<=[a-z)])\s+to\s+(?=(?:\d[\d.,/]*\s*[A-Za-z]*\s+)?[A-Z][A-Z-]+(?![a-z]))"
)
"""A step as a sentence, "Mixture to FULL RICH"; its state is in capitals."""

_ASKED: Final = re.compile(r"(?<=[^\W_])\s?\?\s+(?=[^\W_])")
"""A question and its answer: "Belts? Fastened."."""
_BRACKETED: Final = re.compile(r"^([^\[\]]*+)\[([^\[\]]*+)\]\.?$")
"""A response in square brackets: "Gear [UP]"."""
_LEADS: Final = re.compile(
    r"^(?:[\s:\u2026\u00b7\u2022\u2013\u2014=\u00bb\u203a\u2192\u21d2\u25b6\u25ba\u25b8\u27a4\u2794\u279c]"
    r"|-(?!\d)|>(?!\s*=?\s*\d))+"
)
"""What leads to a response; "> 50" and "-1" are values."""
_LABELLED: Final = re.compile(r"(.*\w)\s+(QNH|QFE|QNE|VREF|VAPP|V1|VR|V2|RWY|FL)", re.IGNORECASE)
_SIDED: Final = re.compile(r"(.*\w)\s+(L|LH|LEFT)", re.IGNORECASE)
_OTHER_SIDE: Final = re.compile(r"\b(?:R|RH|RIGHT)\s?_", re.IGNORECASE)
_LETTER: Final = re.compile(r"[^\W_]")
_WORD: Final = re.compile(r"\w")


@dataclass(frozen=True, slots=True)
class Halves:
    """A divided line; ``line`` if only a run of underscores divides it."""

    challenge: str
    response: str = ""
    led: bool = False
    line: bool = False


def split_text(text: str) -> Halves:
    """Return ``text`` divided at the first mark of the strongest kind in it."""
    for pattern in (_STRONG, _RUN, _WIDE, _MARK, _ASKED, _TO):
        found = pattern.search(text)
        while found is not None and not text[: found.start()].strip():
            found = pattern.search(text, found.end())
        if found is not None and text[found.end() :].strip():
            rest = _STRONG.sub(" ", text[found.end() :]).strip()
            return Halves(text[: found.start()].strip(), rest, pattern in (_STRONG, _RUN))
    boxed = _BRACKETED.match(text.strip())
    if boxed is not None and _LETTER.search(boxed[1]) and _WORD.search(boxed[2]):
        return Halves(boxed[1].strip(), boxed[2].strip())
    line = _LINE.search(text)
    if line is not None and text[: line.start()].strip():
        head, value = text[: line.start()].strip(), text[line.start() :].strip()
        label = _LABELLED.fullmatch(head)  # "Altimeter QNH ____"
        sided = _OTHER_SIDE.search(value) is not None
        label = label or (_SIDED.fullmatch(head) if sided else None)  # "Oil L ____ R ____"
        head, value = (label[1], f"{label[2]} {value}") if label else (head, value)
        return Halves(head, value, line=True)
    return Halves(without_leaders(text))


def without_leads(text: str) -> str:
    """Return a response without the mark that leads to it."""
    return _LEADS.sub("", text) or text


def without_leaders(text: str) -> str:
    """Return ``text`` without leaders that led to nothing; a broken word keeps its hyphen."""
    bare = " ".join(_RUN.sub(" ", _STRONG.sub(" ", text)).split())
    broken = re.search(r"[^\W\d_]{2}-$", bare) is not None
    ends = bare.rstrip(" :\u2026\u00b7\u2022-\u2013\u2014>=")
    return _LEADS.sub("", ends).strip() + ("-" if broken else "")
