"""The shipped word tables keep to the rules that make them safe."""

from __future__ import annotations

from callout.core.language.tables import PhraseIndex, Tables


def _single(index: PhraseIndex) -> set[str]:
    return {p[0] for phrases in index.values() for p, _ in phrases if len(p) == 1}


def test_nothing_passed_over_could_change_an_answer(tables: Tables) -> None:
    passed = tables.skip_words | tables.quantifiers
    assert not tables.skip_words & tables.sides
    assert not tables.skip_words & tables.negations
    assert not passed & _single(tables.hedges)
    assert not passed & _single(tables.bare) - {"selected"}
    states = set(tables.opposites) - {"yes", "both", "all"}
    assert not passed & states


def test_no_status_word_beside_a_state_negates_it(tables: Tables) -> None:
    assert not tables.beside & (tables.negations | tables.sides | _single(tables.hedges))


def test_opposites_are_mutual_and_never_reflexive(tables: Tables) -> None:
    for word, others in tables.opposites.items():
        assert word not in others
        assert all(word in tables.opposites[other] for other in others)


def test_no_synonym_joins_opposites(tables: Tables) -> None:
    for said, listed in tables.synonyms.items():
        assert said not in tables.opposites.get(listed, ()), said
        assert said not in tables.opposites or said == listed, said
        assert (said in tables.negations) == (listed in tables.negations), said
    for phrases in tables.phrases.values():
        for phrase, instead in phrases:
            for word in instead:
                joined = "".join(phrase) == word
                assert joined or not set(tables.opposites.get(word, ())) & set(phrase), phrase


def test_digits_are_no_states_or_sides(tables: Tables) -> None:
    hard = {w for w, p in tables.pieces.items() if not p.soft}
    assert not hard & tables.sides
    assert hard & set(tables.opposites) <= {"zero", "positive", "negative"}


def test_every_unit_is_known_to_the_library(tables: Tables) -> None:
    from callout.core.language.units import LIBRARY_NAMES, library_unit

    assert set(tables.units) == set(LIBRARY_NAMES)
    assert all(library_unit(name) is not None for name in tables.units)
