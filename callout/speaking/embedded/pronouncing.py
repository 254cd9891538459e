"""Turns words into the symbols that the voice's network reads: a dictionary, simple endings, else
letters.
"""

from __future__ import annotations

import gzip
from collections.abc import Sequence
from functools import lru_cache
from importlib import resources

from callout.speaking.embedded.reading import ENDS, PAUSES, TradeWords, split_sentences

LONGEST = 380
"""Symbols in one run of the network, which was trained on no more."""
_VOWELS = frozenset("AIOQWYaiuæɑɐəɛɜɪʊʌᵻɔ")
_HISSING, _VOICELESS = frozenset("szʃʒʧʤ"), frozenset("ptkfθ")
_SHORTEST_PART = 3
_LONGEST_ABBREVIATION = 3
"""Capitals up to this length that are not a common word are spelled; "FLAPS" is a word."""


class Pronouncer:
    """Looks words up in the dictionary's text, without holding 150,000 words as objects."""

    def __init__(self, text: bytes, trade: TradeWords) -> None:
        """text: lines of ``word signs``, sorted; a capital alone is the letter's name."""
        self._text = text
        self._trade = trade
        self._sounds = lru_cache(maxsize=4096)(self._sound_of)

    @classmethod
    def shipped(cls) -> Pronouncer:
        """Return the package's dictionary with the trade's own words."""
        path = resources.files("callout") / "data/speaking/words.txt.gz"
        return cls(gzip.decompress(path.read_bytes()), TradeWords.shipped())

    def phrases(self, text: str) -> list[str]:
        """Return the symbols of ``text``, sentence by sentence; a long one is divided."""
        return [part for said in split_sentences(text, self._trade) for part in self._divided(said)]

    def _divided(self, words: Sequence[str]) -> list[str]:
        parts = [""]
        for n, word in enumerate(words):
            following = self._sounds(words[n + 1]) if n + 1 < len(words) else ""
            signs = self._in_place(word, following)
            if len(parts[-1]) + len(signs) >= LONGEST:
                parts.append("")
            joint = "" if word in ENDS + PAUSES or not parts[-1] else " "
            parts[-1] += joint + signs
        return [part for part in parts if part]

    def _in_place(self, word: str, following: str) -> str:
        """Return a word's symbols before the next word: "the" differs before a vowel."""
        open_next = following.lstrip("ˈˌ")[:1] in _VOWELS
        return {
            "the": "ði" if open_next else "ðə",
            "a": "ɐ",
            "to": "tʊ" if open_next else "tə",
        }.get(word.lower() if word != "A" else word) or self._sounds(word)

    def _sound_of(self, word: str) -> str:
        if word in ENDS + PAUSES:
            return word
        own = self._trade.sounds.get(word.lower())
        if own:
            return own
        if self._is_abbreviation(word):
            return self._spelled(word)
        return self._known(word.lower()) or self._spelled(word)

    def _is_abbreviation(self, word: str) -> bool:
        if not word.removesuffix("s").isupper():
            return False
        if not word.isupper() or word in self._trade.letters:
            return True
        common = len(word) > _LONGEST_ABBREVIATION and self._known(word.lower())
        return not (common or word in _CAPITAL_WORDS)

    def _known(self, word: str) -> str:
        """Return a word's symbols: as it is, without an ending, or as two words in one."""
        return self._look_up(word) or self._with_ending(word) or self._in_two(word)

    def _look_up(self, word: str) -> str:
        """Return the symbols of a word in the dictionary, found by bisection; else empty."""
        sought, low, high = word.encode(), 0, len(self._text)
        while low < high:
            begin = self._text.rfind(b"\n", low, (low + high) // 2) + 1 or low
            end = self._text.find(b"\n", begin)
            found, _, signs = self._text[begin:end].partition(b" ")
            if found == sought:
                return signs.decode()
            if found < sought:
                low = end + 1
            else:
                high = begin
        return self._trade.sounds.get(word, "")

    def _with_ending(self, word: str) -> str:
        for ending, stems in _ENDINGS:
            if not word.endswith(ending):
                continue
            base = word[: -len(ending)]
            for stem in (form.format(base, base[-1:]) for form in stems):
                if found := self._look_up(_undouble_stem(stem)):
                    return found + _ending_signs(ending, found)
        return ""

    def _in_two(self, word: str) -> str:
        """Read a compound ("crossfeed") as its two parts."""
        for at in range(len(word) - _SHORTEST_PART, _SHORTEST_PART - 1, -1):
            first, second = self._look_up(word[:at]), self._look_up(word[at:])
            second = second or self._with_ending(word[at:])
            if first and second:
                return first + second.replace("ˈ", "ˌ")
        return ""

    def _spelled(self, word: str) -> str:
        """Return the names of the letters, the last one stressed."""
        many = "z" if word[:-1].isupper() and word.endswith("s") else ""
        letters = [c for c in word.removesuffix("s" if many else "").upper() if c.isalpha()]
        names = [self._look_up(c).replace("ˈ", "ˌ") for c in letters]
        return " ".join([*names[:-1], names[-1].replace("ˌ", "ˈ")]) + many if names else ""


_CAPITAL_WORDS = frozenset((
    "ON", "OFF", "SET", "NO", "NOT", "IN", "UP", "AND", "OR", "FOR", "THE", "ALL", "TO", "OF",
    "LOW", "DAY", "YES", "TOP", "OUT", "GO", "ARM", "ICE", "KEY", "OIL", "FAN", "TAB",
))  # fmt: skip
_ENDINGS = (
    ("'s", ("{0}",)),
    ("ies", ("{0}y",)),
    ("es", ("{0}e", "{0}")),
    ("s", ("{0}",)),
    ("ied", ("{0}y",)),
    ("ed", ("{0}e", "{0}", "{0}-")),
    ("ing", ("{0}e", "{0}", "{0}-")),
)
"""An ending, and what may precede it; a hyphen: the letter before it was doubled."""


def _undouble_stem(stem: str) -> str:
    return stem[:-2] if stem.endswith("-") else stem


def _ending_signs(ending: str, before: str) -> str:
    """Return the symbols of an ending after these sounds."""
    last = before[-1]
    if ending == "ing":
        return "ɪŋ"
    if ending in ("ed", "ied"):
        return "ᵻd" if last in "tdT" else "t" if last in _VOICELESS | _HISSING - set("zʒʤ") else "d"
    return "ᵻz" if last in _HISSING else "s" if last in _VOICELESS else "z"
