"""Turns the plain data of the table files into frozen Tables (pure: data in, tables out)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from callout.core.expectation import ValueKind
from callout.core.judging import words as lexer
from callout.core.judging.tables import Label, Phrase, PhraseIndex, Piece, PieceKind, Tables, Unit

_Raw = Mapping[str, Any]


def build_tables(raw: Mapping[str, Any]) -> Tables:
    """Return the tables for ``raw``: file name without ending -> its content."""
    base = _base(raw)
    base = replace(base, known=frozenset(_known(raw, base)))
    return _with_phrases(base, raw)


def index_phrases(pairs: Iterable[tuple[Phrase, Phrase]]) -> PhraseIndex:
    """Return phrases by their first word, longest first."""
    index: dict[str, list[tuple[Phrase, Phrase]]] = {}
    for phrase, meaning in pairs:
        if phrase:
            index.setdefault(phrase[0], []).append((phrase, meaning))
    return {w: tuple(sorted(ps, key=lambda p: -len(p[0]))) for w, ps in index.items()}


def _base(raw: _Raw) -> Tables:
    """Everything that works on single raw words; phrase tables are still empty."""
    synonyms = raw["synonyms"]
    none: PhraseIndex = {}
    letters = {letter: names[0] for letter, names in raw["alphabet"].items()}
    own = {n: names[0] for names in raw["alphabet"].values() for n in names[1:] if " " not in n}
    own |= {letter: word for letter, word in letters.items() if letter not in "aio"}
    return Tables(
        hesitations=frozenset(raw["fillers"]["hesitations"]),
        skip_words=frozenset(),
        skip_phrases=none,
        courtesies=frozenset(),
        titles=frozenset(raw["fillers"]["titles"]),
        quantifiers=frozenset(raw["fillers"]["quantifiers"]),
        intensifiers=frozenset(raw["fillers"]["intensifiers"]),
        intensified=frozenset(raw["fillers"]["intensified"]),
        before_noun=frozenset(raw["contrasts"]["before_noun"]),
        beside=frozenset(raw["status"]["beside"]),
        bare=none,
        as_required=none,
        negations=frozenset(w for w in raw["negations"]["words"] if " " not in w),
        prefixes=tuple(sorted(raw["negations"]["prefixes"], key=lambda p: -len(p))),
        loose_prefixes=frozenset(raw["negations"]["loose_prefixes"]),
        hedges=none,
        question_words=frozenset(raw["hedges"]["question_words"]),
        question_auxiliaries=frozenset(raw["hedges"]["question_auxiliaries"]),
        question_subjects=frozenset(raw["hedges"]["question_subjects"]),
        question_tags=none,
        question_endings=frozenset(raw["hedges"]["question_endings"]),
        corrections=none,
        later_corrections=none,
        opposites=_opposites(raw["contrasts"]["sets"]),
        sides=frozenset(raw["contrasts"]["sides"]),
        synonyms=own | synonyms["words"],
        phrases=index_phrases(
            (
                *((tuple(k.split()), tuple(v.split())) for k, v in synonyms["phrases"].items()),
                *((tuple(a), (a,)) for a in raw["acronyms"]),
                *((tuple(letters.get(c, c) for c in a), (a,)) for a in raw["acronyms"]),
            )
        ),
        endings=tuple(sorted(synonyms["endings"].items(), key=lambda e: -len(e[0]))),
        contractions={k: tuple(v.split()) for k, v in synonyms["contractions"].items()},
        pieces=_pieces(raw["sounds"]),
        digit_words={str(d): tuple(names) for d, names in raw["sounds"]["digits"].items()},
        number_words={
            int(n): names[0]
            for n, names in (raw["sounds"]["teens"] | raw["sounds"]["tens"]).items()
        },
        units=_units(raw["units"]),
        unit_words=none,
        unit_symbols=_symbols(raw["units"]),
        labels=none,
        label_kinds=_labels(raw["labels"]),
        alphabet=letters,
        acronyms=frozenset(raw["acronyms"]),
        things=none,
        switched=none,
        known=frozenset(),
    )


def _with_phrases(base: Tables, raw: _Raw) -> Tables:
    def index(texts: Iterable[str], meaning: str = "") -> PhraseIndex:
        return index_phrases((lexer.words(t, base), (meaning,)) for t in texts)

    fillers, hedges, fixes = raw["fillers"], raw["hedges"], raw["corrections"]
    skips = [*fillers["hesitations"], *fillers["courtesies"], *fillers["titles"], *fillers["links"]]
    phrases = [lexer.words(t, base) for t in skips]
    return replace(
        base,
        skip_words=frozenset(p[0] for p in phrases if len(p) == 1),
        skip_phrases=index_phrases((p, ()) for p in phrases if len(p) > 1),
        courtesies=frozenset(
            w for t in fillers["courtesies"] + fillers["titles"] for w in lexer.words(t, base)
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
    )


def _known(raw: _Raw, base: Tables) -> Iterable[str]:
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


def _opposites(sets: Iterable[Iterable[str]]) -> dict[str, tuple[str, ...]]:
    out: dict[str, tuple[str, ...]] = {}
    for group in sets:
        members = tuple(group)
        for word in members:
            others = (w for w in members if w != word)
            out[word] = tuple(dict.fromkeys((*out.get(word, ()), *others)))
    return out


def _pieces(sounds: _Raw) -> dict[str, Piece]:
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


def _units(raw: _Raw) -> dict[str, Unit]:
    return {name: Unit(name, u["says"], ValueKind(u["kind"]), u["step"]) for name, u in raw.items()}


def _symbols(raw: _Raw) -> dict[str, str]:
    """Written unit (exact name, or a symbol in lower case) -> unit."""
    out = {name: name for name in raw}
    for name, unit in raw.items():
        out |= {symbol: name for symbol in unit["symbols"]}
    return out


def _unit_words(base: Tables, raw: _Raw) -> PhraseIndex:
    return index_phrases(
        (lexer.words(text, base), (name,))
        for name, unit in raw.items()
        for text in (*unit["words"], *unit["symbols"])
    )


def _labels(raw: _Raw) -> dict[str, Label]:
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
        (lexer.words(text, base), (name,)) for name, label in raw.items() for text in label["words"]
    )
