"""Seeded random damage to texts and bytes."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import Final, Protocol

from callout.errors import CalloutError

NASTY: Final = (
    "{", "}", "[", "]", "&a", "*a", "!!python/object:os.system", "---", "...", "|", ">", "%YAML",
    "'", '"', "\t", "\x00", "\ufeff", "\u202e", "\u2028", "null", "~", "yes", "1e999", "9" * 400,
    "{qnh}", "{1/0}", "{qnh**qnh}", "{(((((qnh)))))}", "not " * 40, "a and " * 30 + "a", "<<: {}",
    "- - - - -", "? :", ":", "#", "@", "`", "\U0001f600", "e\u0301", "\r", "id: on", "when: (",
    "{9**9**9}", "{qnh if night else 1}", "items: []", "sections: {}", "-0", "0x10", "1_000",
)  # fmt: skip
Mutation = Callable[[random.Random, str], str]


class Target(Protocol):
    """One kind of input: how it is made, and how the program handles it."""

    suffix: str
    """Of a file that keeps one."""

    def make(self, rng: random.Random) -> bytes:
        """Return one input."""

    def take(self, data: bytes) -> str:
        """Process it as the program does; return the result in a word."""


def refusal_word(error: CalloutError) -> str:
    """Return a word for a refusal; raises ValueError for an unhelpful one."""
    if not (error.message and error.hint):
        raise ValueError(f"refused without a remedy: {error.message}")
    return "refused"


def damaged_text(rng: random.Random, text: str) -> str:
    """Return ``text`` with one to six things done to it."""
    for _ in range(_times(rng)):
        text = rng.choice(_MUTATIONS)(rng, text)
    return text


def damaged_bytes(rng: random.Random, data: bytes) -> bytes:
    """Return ``data`` with bytes changed, inserted, removed, repeated or cut off."""
    for _ in range(_times(rng)):
        at = rng.randint(0, len(data))
        some = rng.randbytes(rng.choice((1, 1, 2, 4, 8)))
        match rng.randrange(6):
            case 0 | 1:
                data = data[:at] + some + data[at + len(some) :]
            case 2:
                data = data[:at] + some + data[at:]
            case 3:
                data = data[:at] + data[at + rng.randint(1, 64) :]
            case 4:
                data = data[:at] + data[max(0, at - rng.randint(1, 64)) :]
            case 5:
                data = data[: max(1, at)]
    return data


def spliced_texts(rng: random.Random, texts: Sequence[str]) -> str:
    """Return the beginning of one text with the end of another."""
    one, other = rng.choice(texts), rng.choice(texts)
    return one[: rng.randint(0, len(one))] + other[rng.randint(0, len(other)) :]


def _times(rng: random.Random) -> int:
    return rng.choice((1, 1, 1, 1, 2, 3, 6))


def _insert(rng: random.Random, text: str) -> str:
    at = rng.randint(0, len(text))
    return text[:at] + rng.choice(NASTY) + text[at:]


def _drop(rng: random.Random, text: str) -> str:
    at = rng.randint(0, len(text))
    return text[:at] + text[at + rng.randint(1, 12) :]


def _lines(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    match rng.randrange(4):
        case 0:
            lines[one], lines[other] = lines[other], lines[one]
        case 1:
            lines.insert(one, lines[other])
        case 2:
            del lines[one]
        case 3:
            lines[one] = " " * rng.randint(0, 9) + lines[one].lstrip()
    return "\n".join(lines)


def _value(rng: random.Random, text: str) -> str:
    """Put something else after a colon."""
    places = [n for n, char in enumerate(text) if char == ":"]
    if not places:
        return text
    at = rng.choice(places) + 1
    end = text.find("\n", at)
    return f"{text[:at]} {rng.choice(NASTY)}{text[end:] if end >= 0 else ''}"


def _byte(rng: random.Random, text: str) -> str:
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data:
        data[rng.randrange(len(data))] = rng.randrange(256)
    return data.decode("utf-8", "replace")


def _cut(rng: random.Random, text: str) -> str:
    return text[: rng.randint(0, len(text))]


_MUTATIONS: tuple[Mutation, ...] = (_insert, _drop, _lines, _lines, _value, _value, _byte, _cut)
