"""Turns the plain data of the table files into frozen Tables (pure: data in, tables out)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from callout.core.language import words as lexer
from callout.core.language.phrases import index_phrases
from callout.core.language.tables import Label, PhraseIndex, Piece, PieceKind, Tables, Unit
from callout.core.language.usage_builder import (
    NO_USAGE,
    build_usage,
    request_tables,
    stronger_words,
)
from callout.core.model.expectation import ValueKind

_Raw = Mapping[str, Any]


def build_tables(raw: Mapping[str, Any]) -> Tables:
    """Return the tables for ``raw``: file name without ending -> its content."""
    base = _base_tables(raw)
    base = replace(base, known=frozenset(_known_words(raw, base)))
    return _with_phrases(base, raw)


_LATER: PhraseIndex = {}
"""Placeholder for phrase tables until the single words that normalise them exist."""


def _base_tables(raw: _Raw) -> Tables:
    """Everything that works on single raw words; phrase tables are still empty."""
    return Tables(
        **_filler_words(raw),
        **_state_words(raw),
        **_question_words(raw["hedges"]),
        **_spelling_tables(raw),
        **_number_tables(raw),
        acronyms=frozenset(raw["acronyms"]),
        things=_LATER,
        switched=_LATER,
        known=frozenset(),
        stronger={},
        delays=_LATER,
        usage=NO_USAGE,
        requests=request_tables(raw["requests"]),
    )


def _filler_words(raw: _Raw) -> dict[str, Any]:
    fillers = raw["fillers"]
    names = ("hesitations", "titles", "quantifiers", "articles", "after_time", "dangling")
    words = {name: frozenset(fillers[name]) for name in names}
    return words | {
        "intensifiers": frozenset(fillers["intensifiers"]),
        "intensified": frozenset(fillers["intensified"]),
        "skip_words": frozenset(),
        "skip_phrases": _LATER,
        "courtesies": frozenset(),
        "corrections": _LATER,
        "later_corrections": _LATER,
    }


def _state_words(raw: _Raw) -> dict[str, Any]:
    negations = raw["negations"]
    return {
        "opposites": _opposite_words(raw["contrasts"]["sets"]),
        "sides": frozenset(raw["contrasts"]["sides"]),
        "before_noun": frozenset(raw["contrasts"]["before_noun"]),
        "beside": frozenset(raw["status"]["beside"]),
        "bare": _LATER,
        "as_required": _LATER,
        "negations": frozenset(negations["words"]),
        "prefixes": tuple(sorted(negations["prefixes"], key=lambda p: -len(p))),
        "loose_prefixes": frozenset(negations["loose_prefixes"]),
        "reversible": _reversed_words(negations["reversible"]),
    }


def _question_words(hedges: _Raw) -> dict[str, Any]:
    return {
        "hedges": _LATER,
        "question_words": frozenset(hedges["question_words"]),
        "question_auxiliaries": frozenset(hedges["question_auxiliaries"]),
        "question_subjects": frozenset(hedges["question_subjects"]),
        "question_tags": _LATER,
        "question_endings": frozenset(hedges["question_endings"]),
    }


def _spelling_tables(raw: _Raw) -> dict[str, Any]:
    synonyms = raw["synonyms"]
    letters = {letter: names[0] for letter, names in raw["alphabet"].items()}
    own = {n: names[0] for names in raw["alphabet"].values() for n in names[1:] if " " not in n}
    own |= {letter: word for letter, word in letters.items() if letter not in "aio"}
    spelled = (tuple(f(c) for c in a) for a in raw["acronyms"] for f in (str, letters.get))
    phrases = [(tuple(k.split()), tuple(v.split())) for k, v in synonyms["phrases"].items()]
    phrases += [(tuple(map(str, s)), (_initial_letters(s),)) for s in spelled]
    return {
        "synonyms": own | synonyms["words"],
        "phrases": index_phrases(phrases),
        "endings": tuple(sorted(synonyms["endings"].items(), key=lambda e: -len(e[0]))),
        "contractions": {k: tuple(v.split()) for k, v in synonyms["contractions"].items()},
        "alphabet": letters,
    }


def _initial_letters(spelled: Iterable[object]) -> str:
    return "".join(str(word)[0] for word in spelled)


def _number_tables(raw: _Raw) -> dict[str, Any]:
    return {
        "pieces": _number_pieces(raw["sounds"]),
        "units": _unit_table(raw["units"]),
        "unit_words": _LATER,
        "unit_symbols": _unit_symbols(raw["units"]),
        "labels": _LATER,
        "label_kinds": _quantity_labels(raw["labels"]),
    }


def _with_phrases(base: Tables, raw: _Raw) -> Tables:
    def index(texts: Iterable[str], meaning: str = "") -> PhraseIndex:
        return index_phrases((lexer.words_of(t, base), (meaning,)) for t in texts)

    fillers, hedges, fixes = raw["fillers"], raw["hedges"], raw["corrections"]
    skips = [*fillers["hesitations"], *fillers["courtesies"], *fillers["titles"], *fillers["links"]]
    phrases = [lexer.words_of(t, base) for t in skips]
    return replace(
        base,
        skip_words=frozenset(p[0] for p in phrases if len(p) == 1),
        skip_phrases=index_phrases((p, ()) for p in phrases if len(p) > 1),
        courtesies=frozenset(
            w for t in fillers["courtesies"] + fillers["titles"] for w in lexer.words_of(t, base)
        ),
        bare=index(raw["status"]["bare"]),
        as_required=index(raw["status"]["as_required"]),
        hedges=index(hedges["hedges"]),
        question_tags=index(hedges["question_tags"]),
        corrections=index(fixes["corrections"]),
        later_corrections=index(fixes["corrections_after_something"]),
        unit_words=_unit_words(base, raw["units"]),
        labels=_label_words(base, raw["labels"]),
        things=index(raw["things"]["anything"]),
        switched=index(raw["things"]["switched"]),
        delays=index(fixes["delays"]),
        stronger=stronger_words(raw["synonyms"]["stronger"], base),
        usage=build_usage(raw, base),
    )


def _known_words(raw: _Raw, base: Tables) -> Iterable[str]:
    """Every single word of the tables whose exact form matters."""
    yield from base.hesitations | base.quantifiers | base.negations | base.sides | base.beside
    yield from base.opposites
    yield from base.pieces
    yield from base.alphabet.values()
    lists = [
        *raw["fillers"].values(), *raw["hedges"].values(), *raw["corrections"].values(),
        raw["status"]["bare"], raw["status"]["as_required"],
        *(unit["words"] + unit["symbols"] for unit in raw["units"].values()),
    ]  # fmt: skip
    for phrases in lists:
        for phrase in phrases:
            yield from phrase.split()


def _opposite_words(sets: Iterable[Iterable[str]]) -> dict[str, tuple[str, ...]]:
    out: dict[str, tuple[str, ...]] = {}
    for group in sets:
        members = tuple(group)
        for word in members:
            others = (w for w in members if w != word)
            out[word] = tuple(dict.fromkeys((*out.get(word, ()), *others)))
    return out


def _reversed_words(by_prefix: _Raw) -> dict[str, tuple[str, ...]]:
    """Return for each word the words that begin with another syllable and mean the contrary."""
    out: dict[str, tuple[str, ...]] = {}
    for prefix, words in by_prefix.items():
        out |= {word: (*out.get(word, ()), prefix + word) for word in words}
    return out


def _number_pieces(sounds: _Raw) -> dict[str, Piece]:
    out: dict[str, Piece] = {}
    for table, kind, soft in (
        ("digits", PieceKind.DIGIT, False),
        ("soft_digits", PieceKind.DIGIT, True),
        ("teens", PieceKind.TEEN, False),
        ("tens", PieceKind.TENS, False),
        ("repeats", PieceKind.REPEAT, True),
    ):
        for number, names in sounds[table].items():
            out |= {name: Piece(kind, str(number), soft=soft) for name in names}
    for table, kind in (
        ("hundred", PieceKind.HUNDRED),
        ("thousand", PieceKind.THOUSAND),
        ("point", PieceKind.POINT),
        ("minus", PieceKind.MINUS),
        ("plus", PieceKind.PLUS),
    ):
        out |= {name: Piece(kind) for name in sounds[table]}
    return out


def _unit_table(raw: _Raw) -> dict[str, Unit]:
    return {name: Unit(name, u["says"], ValueKind(u["kind"]), u["step"]) for name, u in raw.items()}


def _unit_symbols(raw: _Raw) -> dict[str, str]:
    """Written unit (exact name, or a symbol in lower case) -> unit."""
    out = {name: name for name in raw}
    for name, unit in raw.items():
        out |= {symbol: name for symbol in unit["symbols"]}
    return out


def _unit_words(base: Tables, raw: _Raw) -> PhraseIndex:
    return index_phrases(
        (lexer.words_of(text, base), (name,))
        for name, unit in raw.items()
        for text in (*unit["words"], *unit["symbols"])
    )


def _quantity_labels(raw: _Raw) -> dict[str, Label]:
    return {
        name: Label(
            name,
            tuple(ValueKind(kind) for kind in label["kind"].split()),
            int(label["digits"]) if "digits" in label else None,
            label.get("specific") == "yes",
        )
        for name, label in raw.items()
    }


def _label_words(base: Tables, raw: _Raw) -> PhraseIndex:
    return index_phrases(
        (lexer.words_of(text, base), (name,))
        for name, label in raw.items()
        for text in label["words"]
    )
