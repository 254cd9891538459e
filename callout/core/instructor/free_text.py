"""Which words may leave the machine, and what replaces the others."""

from __future__ import annotations

import hashlib
import hmac
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

WORD = "[word]"
TEXT = "[removed]"
NAME = "[name]"
_SHORTEST = 3
"""Minimum length of a part of a name that is searched for by itself."""
_WORDS = re.compile(r"[^\W_]+(?:['\N{RIGHT SINGLE QUOTATION MARK}][^\W_]+)*")


_PIECES = re.compile(r"[^\W_]+")
"""The parts that an id consists of."""


def pseudonym(kind: str, name: str, salt: bytes) -> str:
    """Return the pseudonym of ``name``: the same for the same salt, ignoring spacing and case.

    HMAC-SHA-256 (NIST FIPS 198-1): without the salt nobody can find it by trying names.
    """
    plain = " ".join(name.split()).casefold()
    return f"{kind}-{hmac.new(salt, plain.encode(), hashlib.sha256).hexdigest()[:8]}"


def words_in(texts: Iterable[str]) -> frozenset[str]:
    """Return every word of ``texts``, ignoring case."""
    return frozenset(word.casefold() for text in texts for word in _WORDS.findall(text))


@dataclass(frozen=True, slots=True)
class Mask:
    """What may be kept."""

    salt: bytes
    names: tuple[str, ...] = ()
    """People known by name; their names are removed everywhere."""
    words: frozenset[str] = frozenset()
    """Words allowed in a reply: those of lists, numbers, states and commands."""
    reasons: frozenset[str] = frozenset()
    """Whole texts allowed as the reason for a skip."""
    _full: re.Pattern[str] | None = field(init=False, default=None)
    _parts: frozenset[str] = field(init=False, default=frozenset())
    _joined: frozenset[str] = field(init=False, default=frozenset())

    def __post_init__(self) -> None:
        known = sorted({n.strip() for n in self.names if n.strip()}, key=len, reverse=True)
        if known:
            either = "|".join(r"\s+".join(map(re.escape, name.split())) for name in known)
            pattern = re.compile(rf"(?<!\w)(?:{either})(?!\w)", re.IGNORECASE)
            object.__setattr__(self, "_full", pattern)
        parts = words_in(known)
        object.__setattr__(self, "_parts", frozenset(p for p in parts if len(p) >= _SHORTEST))
        joined = frozenset("".join(_PIECES.findall(name)).casefold() for name in known)
        object.__setattr__(self, "_joined", joined - {""})

    def with_words(self, words: frozenset[str]) -> Mask:
        """Return a mask that also allows ``words``."""
        return Mask(self.salt, self.names, self.words | (words - self._parts), self.reasons)

    def coded(self, text: str) -> str:
        """Return an id or a file name in which every part of a name is a pseudonym.

        The same part gives the same letters everywhere, so that references still match.
        """
        return _PIECES.sub(lambda m: self._code(m[0]), text)

    def _code(self, word: str) -> str:
        plain = word.casefold()
        if plain not in self._parts and plain not in self._joined:
            return word
        return pseudonym("x", plain, self.salt).replace("-", "")

    def listed(self, text: str) -> str:
        """Return text of a list without whole names of people."""
        return self._full.sub(NAME, text) if self._full else text

    def titled(self, text: str) -> str:
        """Return a title that a person wrote, also without parts of names."""
        swept = self.listed(text)
        return _WORDS.sub(lambda m: NAME if _word_stem(m[0]) in self._parts else m[0], swept)

    def spoken(self, text: str) -> str:
        """Return a reply as heard, without words that are not of the trade."""
        return _WORDS.sub(self._word, self.listed(text)) if text else ""

    def reason(self, text: str) -> str:
        """Return the reason for a skip: a usual one, or that there was one."""
        plain = " ".join(text.split()).casefold().rstrip(" .")
        return text if not text or plain in self.reasons else TEXT

    def told(self, text: str, heard: str) -> str:
        """Return the tool's own sentence without the words removed from ``heard``."""
        gone = words_in([heard]) - words_in([self.spoken(heard)])
        swept = self.listed(text)
        return _WORDS.sub(lambda m: WORD if m[0].casefold() in gone else m[0], swept)

    def _word(self, found: re.Match[str]) -> str:
        word = found[0].casefold()
        if f"[{word}]" in (NAME, WORD, TEXT):
            return found[0]
        numeric = word.isdecimal() or re.fullmatch(r"\d+[a-z]{1,4}|[a-z]\d+", word)
        return found[0] if word in self.words or numeric else WORD


def _word_stem(word: str) -> str:
    """Return a word without a possessive 's."""
    return re.split("['\N{RIGHT SINGLE QUOTATION MARK}]", word)[0].casefold()


def coded_all(value: Any, mask: Mask) -> Any:
    """Return ids, in any container, without parts of names."""
    if isinstance(value, str) and not isinstance(value, Enum):
        return mask.coded(value)
    if isinstance(value, tuple | frozenset | list):
        return type(value)(coded_all(one, mask) for one in value)
    if isinstance(value, Mapping):
        return {coded_all(key, mask): coded_all(one, mask) for key, one in value.items()}
    return value
