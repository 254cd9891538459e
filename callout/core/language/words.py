"""Turns typed or transcribed text into normalised words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from callout.core.language.tables import Phrase, PhraseIndex, Piece, PieceKind, Tables

LONGEST_REPLY = 600
"""Characters; no reply to an item is longer."""

_TOKEN = re.compile(
    r"(?P<sign>(?<![^\s(,;:])[-+](?=\s?\.?[0-9]))"
    r"|(?P<number>[0-9]+(?:[.,:][0-9]+)*|(?<![0-9])\.[0-9]+)"
    r"|(?P<word>[a-z]+(?:'[a-z]+)*)"
    r"|(?P<pause>[,;:.!?\u2026()\[\]\u2014\u2013]+)"
    r"|(?P<quiet>[\s\"'_\-]+)"
    r"|(?P<other>.)",
    re.DOTALL,
)
_TIGHT_SIDE = re.compile(r"(?<![a-z0-9.])([0-9]{1,2})([lrc])(?![a-z0-9])")
_SIDES = {"l": "left", "r": "right", "c": "centre"}
_POSITION = re.compile(r"\bin (?:the )?([a-z]+) position\b")
_LETTER_WORDS = frozenset("aio")
"""Letters that are also words or a digit."""
_SIGNS = {"-": "minus", "+": "plus"}
_SUFFIXES = {"s": "is", "re": "are", "ve": "have", "ll": "will", "d": "would", "m": "am"}
_SYMBOLS = (("°", " degrees "), ("%", " percent "), ("&", " and "), ("km/h", " kmh "))
_SAME = str.maketrans({"\u2019": "'", "\u2018": "'", "\u02bc": "'", "\u2212": "-", "\u2010": "-"})


@dataclass(frozen=True, slots=True)
class Token:
    """One normalised word, or one piece of a number."""

    text: str
    pause: bool = False
    """True when a comma, stop or similar precedes it."""
    piece: Piece | None = None


@dataclass(frozen=True, slots=True)
class Lexed:
    """A reply as normalised tokens."""

    tokens: tuple[Token, ...]
    question: bool = False
    """True when a question mark was written."""
    raw: tuple[Token, ...] = ()
    """The words as said: contractions expanded, no synonyms applied."""


def fold_text(text: str) -> str:
    """Return ``text`` in lower case, compatibility forms and accents removed."""
    for symbol, word in _SYMBOLS:
        text = text.replace(symbol, word)
    if text.isascii() and text.isprintable():
        return text.casefold()  # as below, four times as fast
    text = unicodedata.normalize("NFKD", text.translate(_SAME)).casefold().translate(_SAME)
    left_out = ("Mn", "Cf", "Cc")
    return "".join(c for c in text if unicodedata.category(c) not in left_out or c in "\n\t")


def normalise_text(text: str, tables: Tables, synonyms: Mapping[str, str] | None = None) -> Lexed:
    """Return the tokens of ``text``: canonical words and number pieces, in order."""
    folded = _TIGHT_SIDE.sub(_side_word, _POSITION.sub(r"\1", fold_text(text)))
    raw = tuple(_expand_contractions(_scan_tokens(folded), tables))
    tokens = _letters_joined(replace_phrases(raw, tables.phrases))
    tokens = tuple(_canonical_token(t, tables) for t in tokens)
    if synonyms:
        tokens = _own_synonyms(tokens, tables, synonyms)
    tokens = _without_number_word(replace_phrases(tokens, tables.phrases))
    return Lexed(tokens, question="?" in folded, raw=raw)


def _letters_joined(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """Return ``tokens`` with spelled letters joined into one word ("t o g a": toga)."""
    if not any(
        len(t.text) == 1 and t.text not in _LETTER_WORDS and t.piece is None for t in tokens
    ):
        return tokens
    out: list[Token] = []
    i = 0
    while i < len(tokens):
        end = i
        while end < len(tokens) and _a_letter(tokens[end]) and (end == i or not tokens[end].pause):
            end += 1
        run = tokens[i:end]
        if sum(t.text not in _LETTER_WORDS for t in run) > 1:
            out.append(Token("".join(t.text for t in run), run[0].pause))
            i = end
        else:
            out.append(tokens[i])
            i += 1
    return tuple(out)


def _a_letter(token: Token) -> bool:
    return len(token.text) == 1 and token.text.isalpha() and token.piece is None


def _without_number_word(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """ "Number one engine" is "one engine"."""
    if not any(t.text == "number" for t in tokens):
        return tokens
    pairs = zip(tokens, (*tokens[1:], Token("")), strict=True)
    return tuple(t for t, n in pairs if t.text != "number" or n.piece is None or n.piece.soft)


def _side_word(found: re.Match[str]) -> str:
    return f"{found[1]} {_SIDES[found[2]]}"


def words_of(text: str, tables: Tables) -> Phrase:
    """Return just the normalised words of ``text``."""
    return tuple(t.text for t in normalise_text(text, tables).tokens)


def _scan_tokens(folded: str) -> Iterable[Token]:
    pause = False
    for found in _TOKEN.finditer(folded):
        kind = found.lastgroup
        if kind == "pause":
            pause = True
        elif kind != "quiet":
            text = _SIGNS.get(found.group(), found.group())
            yield Token(text, pause, _written_number(text, kind))
            pause = False


def _written_number(text: str, kind: str | None) -> Piece | None:
    if kind == "sign":
        return Piece(PieceKind.MINUS if text == "minus" else PieceKind.PLUS)
    if kind != "number":
        return None
    marks = [c for c in text if not c.isdigit()]
    if set(marks) == {","} and re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+", text):
        return Piece(PieceKind.WRITTEN, text.replace(",", ""))
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]+", text):
        whole, fraction = text.replace(",", "").split(".")
        return Piece(PieceKind.WRITTEN, whole + fraction, len(whole), separator=".")
    if not marks:
        return Piece(PieceKind.WRITTEN, text)
    if len(marks) == 1:
        whole, fraction = re.split(r"[.,:]", text)
        return Piece(PieceKind.WRITTEN, whole + fraction, len(whole), separator=marks[0])
    return None


def _expand_contractions(tokens: Iterable[Token], tables: Tables) -> Iterable[Token]:
    """Undo contractions: "isn't" is "is not", "it's" is "it is"."""
    for token in tokens:
        head, _, tail = token.text.partition("'")
        if not tail:
            parts = tables.contractions.get(token.text, (token.text,))
        elif tail == "t" and head.endswith("n"):
            parts = tables.contractions.get(head + tail, (head[:-1], "not"))
        elif tail == "s" and head in tables.titles:
            parts = (token.text,)  # "captain's" names a side and is no courtesy
        elif tail in _SUFFIXES:
            parts = (head, _SUFFIXES[tail])
        else:
            parts = (token.text.replace("'", ""),)
        yield token if parts[0] == token.text else replace(token, text=parts[0])
        for part in parts[1:]:
            yield Token(part)


def replace_phrases(tokens: tuple[Token, ...], index: PhraseIndex) -> tuple[Token, ...]:
    """Return ``tokens`` with each phrase of ``index`` replaced by what it stands for."""
    if not any(t.text in index for t in tokens):
        return tokens
    out: list[Token] = []
    i = 0
    while i < len(tokens):
        found = phrase_at(tokens, i, index)
        if found is None:
            out.append(tokens[i])
            i += 1
            continue
        length, instead = found
        out.extend(Token(word, tokens[i].pause and n == 0) for n, word in enumerate(instead))
        i += length
    return tuple(out)


def phrase_at(tokens: tuple[Token, ...], i: int, index: PhraseIndex) -> tuple[int, Phrase] | None:
    """Return (number of tokens, meaning) of the longest phrase of ``index`` at ``i``."""
    for phrase, instead in index.get(tokens[i].text, ()):
        end = i + len(phrase)
        if end > len(tokens) or any(t.pause for t in tokens[i + 1 : end]):
            continue
        if all(tokens[i + k].text == w for k, w in enumerate(phrase)):
            return len(phrase), instead
    return None


def _canonical_token(token: Token, tables: Tables) -> Token:
    if token.piece is not None:
        return token
    word = tables.synonyms.get(token.text, token.text)
    piece = tables.pieces.get(word)
    if piece is not None:
        return replace(token, text=word, piece=piece)
    if word == token.text:
        word = singular_form(_one_spelling(word, tables.endings), tables.known)
        word = tables.synonyms.get(word, word)
    return token if word == token.text else replace(token, text=word)


def _one_spelling(word: str, endings: tuple[tuple[str, str], ...]) -> str:
    if len(word) < 6:
        return word
    for ending, instead in endings:
        if word.endswith(ending):
            return word[: -len(ending)] + instead
    return word


def singular_form(word: str, known: frozenset[str]) -> str:
    """Return ``word`` without a plural ending; words of the tables are left unchanged."""
    if word in known or len(word) < 4 or not word.endswith("s") or word[-2:] in ("ss", "us", "is"):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1]


def _own_synonyms(
    tokens: tuple[Token, ...], tables: Tables, synonyms: Mapping[str, str]
) -> tuple[Token, ...]:
    """Apply a checklist's own synonyms, except any that would reverse a state."""
    index: dict[str, tuple[tuple[Phrase, Phrase], ...]] = {}
    for said, listed in synonyms.items():
        before, after = words_of(said, tables), words_of(listed, tables)
        if before and not turns_round(before, after, tables):
            index[before[0]] = (*index.get(before[0], ()), (before, after))
    return replace_phrases(tokens, index)


def turns_round(before: Phrase, after: Phrase, tables: Tables) -> bool:
    """True when ``after`` contradicts ``before``."""
    if any(w in tables.negations for w in before) != any(w in tables.negations for w in after):
        return True
    return any(b in tables.opposites.get(a, ()) for a in after for b in before)
