"""Why a reply that is not right is not right: mismatch or unclear, in one sentence.

Nothing here can accept a reply; it only chooses between refusing and asking again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from callout.core.expectation import Expectation, Value
from callout.core.judging import values
from callout.core.judging.align import Reply, Run, match, number_runs
from callout.core.judging.digits import difference, digits_of, shown
from callout.core.judging.pattern import Pattern, compile_answer
from callout.core.judging.reasons import Reason
from callout.core.judging.tables import Tables
from callout.core.judging.units import likely_unit
from callout.core.judging.words import Token, phrase_at
from callout.core.verdict import Judgement, Verdict


@dataclass(frozen=True, slots=True)
class Scene:
    """A reply that is no match, with all that is known about it."""

    tokens: tuple[Token, ...]
    reply: Reply
    expectation: Expectation
    accepted: tuple[Pattern, ...]
    asking: bool
    hedge: str
    tables: Tables

    @property
    def texts(self) -> tuple[str, ...]:
        """The words said."""
        return tuple(t.text for t in self.tokens)


def diagnose(scene: Scene) -> Judgement:
    """Return the first finding that applies, most telling first."""
    rules: tuple[Callable[[Scene], Judgement | None], ...] = (
        _empty_words, _unrelated, _question, _hedge, _neighbour, _bare, _contradiction, _negated,
        _sides, _numbers, _opposite, _incomplete,
    )  # fmt: skip
    for rule in rules:
        found = rule(scene)
        if found is not None:
            return found
    return _unclear(Reason.EXTRA_WORDS, f"I could not take that as an answer; say {_due(scene)}.")


def _unclear(code: Reason, sentence: str, why: str = "") -> Judgement:
    return Judgement(Verdict.UNCLEAR, code.value, sentence, trace=(f"rule: {why or code.value}",))


def _mismatch(code: Reason, sentence: str, why: str = "") -> Judgement:
    return Judgement(Verdict.MISMATCH, code.value, sentence, trace=(f"rule: {why or code.value}",))


def _due(scene: Scene) -> str:
    texts = [f'"{a.text}"' for a in scene.expectation.accepted]
    return " or ".join(texts[:3]) if texts else "the answer"


def _expected_words(scene: Scene) -> frozenset[str]:
    return frozenset(w for p in scene.accepted for w in p.words)


def _state_words(scene: Scene) -> frozenset[str]:
    own = (w for group in scene.reply.contrasts for w in group)
    return frozenset(scene.tables.opposites) | frozenset(own)


def _excluded(word: str, scene: Scene) -> frozenset[str]:
    """Words that exclude ``word``."""
    own = (g - {word} for g in scene.reply.contrasts if word in g)
    return frozenset(scene.tables.opposites.get(word, ())).union(*own)


def _contrary(scene: Scene) -> frozenset[str]:
    return frozenset().union(*(_excluded(w, scene) for w in _expected_words(scene)))


def _content(scene: Scene) -> list[Token]:
    skip = scene.tables.skip_words
    return [t for t, passed in zip(scene.tokens, scene.reply.skips, strict=True)
            if not passed and t.text not in skip]  # fmt: skip


def _empty_words(scene: Scene) -> Judgement | None:
    if _content(scene) or _expected_words(scene) & set(scene.texts):
        return None
    if all(t in scene.tables.hesitations for t in scene.texts):
        return _unclear(Reason.NOTHING, "Nothing was said that could be an answer.")
    if scene.asking:
        return None
    return _unclear(
        Reason.ACKNOWLEDGED, f"That acknowledges but does not answer; say {_due(scene)}."
    )


def _unrelated(scene: Scene) -> Judgement | None:
    content = _content(scene)
    numbers = any(p.values for p in scene.accepted)
    relevant = _expected_words(scene) | _contrary(scene) | scene.tables.beside
    for other in (*scene.expectation.previous, *scene.expectation.following):
        relevant |= compile_answer(other, scene.tables).words
    for wrong in scene.expectation.wrong:
        relevant |= compile_answer(wrong.answer, scene.tables).words
    known = [t for t in content if _relevant(t, relevant, numbers, scene)]
    unknown = [t for t in content if not _recognised(t, scene)]
    states = _state_words(scene)
    only_states = all(t.text in states or t.piece for t in content)
    if (not known and not only_states) or (len(unknown) > 1 and len(unknown) >= len(known)):
        return _unclear(
            Reason.UNRELATED,
            "That does not sound like an answer to this item.",
            "no word in common",
        )
    return None


def _relevant(token: Token, words: frozenset[str], numbers: bool, scene: Scene) -> bool:
    if token.text in words or (numbers and token.piece is not None):
        return True
    if _root(token.text, words, scene.tables) is not None:
        return True
    return any(token.text in index for index in (scene.tables.bare, scene.tables.as_required))


def _recognised(token: Token, scene: Scene) -> bool:
    tables = scene.tables
    if token.piece or token.text in tables.known or token.text in _expected_words(scene):
        return True
    if token.text in _state_words(scene):
        return True
    return any(token.text in ix for ix in (tables.things, tables.switched, tables.labels))


def _question(scene: Scene) -> Judgement | None:
    if not scene.asking:
        return None
    return _unclear(Reason.QUESTION, f"That was a question; look, and say {_due(scene)} if so.")


def _hedge(scene: Scene) -> Judgement | None:
    if not scene.hedge:
        return None
    text = f'"{scene.hedge}" is not an answer; look, and say what you see.'
    return _unclear(Reason.HEDGE, text, f"hedge: {scene.hedge}")


def _neighbour(scene: Scene) -> Judgement | None:
    for answers, code, where in (
        (scene.expectation.previous, Reason.PREVIOUS_ITEM, "before"),
        (scene.expectation.following, Reason.NEXT_ITEM, "after"),
    ):
        for answer in answers:
            pattern = compile_answer(answer, scene.tables)
            if match(scene.reply, pattern) is None or _just_contrary(pattern, scene):
                continue
            sentence = (
                f'"{answer.text}" answers the item {where} this one; this one wants {_due(scene)}.'
            )
            return _mismatch(code, sentence, f"answer to the item {where}")
    return None


def _just_contrary(pattern: Pattern, scene: Scene) -> bool:
    """One state word that contradicts this item is a wrong state first of all."""
    return len(pattern.listed) == 1 and bool(pattern.words & _contrary(scene))


def _bare(scene: Scene) -> Judgement | None:
    tables = scene.tables
    i, said = 0, []
    while i < len(scene.tokens):
        found = phrase_at(scene.tokens, i, tables.as_required) or phrase_at(
            scene.tokens, i, tables.bare
        )
        if found:
            said.append(" ".join(t.text for t in scene.tokens[i : i + found[0]]))
            i += found[0]
        elif scene.reply.skips[i] or scene.reply.echoes[i]:
            i += scene.reply.skips[i] or scene.reply.echoes[i]
        else:
            return None
    if not said or _contrary(scene) & set(scene.texts):
        return None
    what = "value" if any(p.values for p in scene.accepted) else "position"
    return _unclear(
        Reason.BARE_STATUS, f'"{said[0]}" is not enough here: say the actual {what}.', "bare status"
    )


def _contradiction(scene: Scene) -> Judgement | None:
    said = set(scene.texts)
    for pattern in scene.accepted:
        for word in pattern.words & said & _state_words(scene):
            against = (_excluded(word, scene) & said) - pattern.words - _echoed(scene)
            if against:
                other = sorted(against)[0]
                text = f'Both "{word}" and "{other}" were heard; say just what it is.'
                return _unclear(Reason.CONTRADICTORY, text, f"{word} excludes {other}")
    return None


def _echoed(scene: Scene) -> frozenset[str]:
    out: set[str] = set()
    for i, n in enumerate(scene.reply.echoes):
        out.update(scene.texts[i : i + n])
    return frozenset(out)


def _negated(scene: Scene) -> Judgement | None:
    words = _expected_words(scene)
    said = set(scene.texts)
    turned = (said & scene.tables.negations) - words
    if turned and (said & words or said & _contrary(scene)):
        heard = " ".join(t.text for t in scene.tokens)
        return _mismatch(
            Reason.NEGATED, f'Heard "{heard}"; this item wants {_due(scene)}.', "negation"
        )
    missing = (scene.tables.negations & words) - said
    if missing and said & (words - scene.tables.negations):
        return _mismatch(Reason.NEGATED, f"The answer due is {_due(scene)}.", "negation missing")
    for token in scene.tokens:
        root = _root(token.text, words, scene.tables)
        if root is not None:
            text = f'Heard "{token.text}"; this item wants {_due(scene)}.'
            return _mismatch(Reason.NEGATED, text, f"{token.text} turns {root} round")
    return _loose_prefix(scene, words)


def _loose_prefix(scene: Scene, words: frozenset[str]) -> Judgement | None:
    for before, token in zip(scene.texts, scene.texts[1:], strict=False):
        if before in scene.tables.loose_prefixes and token in words and before not in words:
            text = f'Heard "{before}{token}"; this item wants {_due(scene)}.'
            return _mismatch(Reason.NEGATED, text, f"{before} turns {token} round")
    return None


def _root(text: str, words: frozenset[str], tables: Tables) -> str | None:
    """Return the expected word that ``text`` reverses by a prefix, or is reversed by."""
    for prefix in tables.prefixes:
        if text.startswith(prefix) and text[len(prefix) :] in words:
            return text[len(prefix) :]
        if prefix + text in words and len(text) > 3:
            return prefix + text
    return None


def _sides(scene: Scene) -> Judgement | None:
    said = set(scene.texts) & scene.tables.sides
    if not said:
        return None
    for pattern in scene.accepted:
        wanted = pattern.words & scene.tables.sides
        if wanted and not said & wanted:
            text = f'Heard "{sorted(said)[0]}"; this item wants {_due(scene)}.'
            return _mismatch(Reason.SIDES, text, "another side")
        if len(wanted) > 1 and said >= wanted and _same_values(pattern, scene):
            text = f"The sides are exchanged; this item wants {_due(scene)}."
            return _mismatch(Reason.SIDES, text, "sides exchanged")
    return None


def _same_values(pattern: Pattern, scene: Scene) -> bool:
    """The right numbers or states are all there, so only their sides can be wrong."""
    runs = runs_in(scene.tokens, scene.tables)
    if pattern.values:
        return all(
            any(values.same_number(v, r.reading) for r in runs) for v in pattern.values
        ) and len(runs) == len(pattern.values)
    return pattern.words <= set(scene.texts)


def runs_in(tokens: tuple[Token, ...], tables: Tables) -> list[Run]:
    """Return the numbers said, longest first at each place, in order."""
    out: list[Run] = []
    i = 0
    while i < len(tokens):
        run = next(number_runs(tokens, i, tables), None)
        if run is None:
            i += 1
            continue
        out.append(run)
        i = run.after
    return out


def _numbers(scene: Scene) -> Judgement | None:
    wanted = [p for p in scene.accepted if p.values]
    if not wanted:
        return None
    runs = runs_in(scene.tokens, scene.tables)
    if not runs:
        if any(t.piece and not t.piece.soft for t in scene.tokens):
            return _unclear(
                Reason.NUMBER_GARBLED, f"I could not make out the number; say {_due(scene)}."
            )
        return None
    if _unknown_words(scene):
        return None
    if _run_together(runs) and all(len(p.values) != len(runs) for p in wanted):
        return _unclear(
            Reason.NUMBER_GARBLED, f"I could not make out the number; say {_due(scene)}."
        )
    for pattern in wanted:
        found = _against(pattern, runs, scene)
        if found is not None:
            return found
    return None


def _run_together(runs: list[Run]) -> bool:
    """True when number words follow one another that make no one number."""
    return any(a.after == b.start for a, b in pairwise(runs))


def _unknown_words(scene: Scene) -> bool:
    labels = (scene.tables.labels, scene.tables.unit_words)
    return any(
        not _recognised(t, scene) and not any(t.text in ix for ix in labels) for t in scene.tokens
    )


def _against(pattern: Pattern, runs: list[Run], scene: Scene) -> Judgement | None:
    if len(runs) < len(pattern.values):
        right = all(any(values.same_number(v, r.reading) for v in pattern.values) for r in runs)
        if right or len(pattern.values) - len(runs) > 1:
            return _unclear(Reason.PARTIAL, f"A part is missing; say all of {_due(scene)}.")
    for value, run in zip(pattern.values, runs, strict=False):
        found = _one_number(value, run, scene)
        if found is not None:
            return found
    return None


def _one_number(value: Value, run: Run, scene: Scene) -> Judgement | None:
    outcome = values.fit(value, run.reading, run.unit, scene.tables)
    name = value.name[:1].upper() + value.name[1:] + ": " if value.name else ""
    if outcome is values.Fit.SAME:
        return None
    if outcome is values.Fit.UNIT_MISSING:
        unit = _unit_says(value.unit, scene, "the unit")
        return _unclear(Reason.UNIT_MISSING, f"{name}say the unit as well: {shown(value)} {unit}.")
    if outcome is values.Fit.WRONG_UNIT:
        return _mismatch(Reason.WRONG_UNIT, name + _unit_sentence(value, run, scene), "unit")
    if values.same_number(value, run.reading) and values.fit(
        value, run.reading, None, scene.tables
    ):
        return _mismatch(Reason.WRONG_UNIT, name + _unit_sentence(value, run, scene), "unit")
    code, detail = difference(value, run.reading)
    return _mismatch(
        code, _sentence(name + detail), f"{run.reading.digits} is not {digits_of(value)}"
    )


def _unit_sentence(value: Value, run: Run, scene: Scene) -> str:
    said = _unit_says(run.unit, scene, "another unit")
    return f"heard {said}, expected {_unit_says(likely_unit(value), scene, 'no unit')}."


def _unit_says(unit: str | None, scene: Scene, otherwise: str) -> str:
    known = scene.tables.units.get(unit or "")
    return known.says if known else otherwise


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + "."


def _opposite(scene: Scene) -> Judgement | None:
    said = list(scene.texts)
    contrary = _contrary(scene)
    states = _state_words(scene) - _expected_words(scene) - _echoed(scene)
    if _unknown_words(scene):
        return None
    for word in said:
        if word in contrary and word in states:
            text = f'Heard "{word}"; this item wants {_due(scene)}.'
            return _mismatch(Reason.OPPOSITE, text, f"{word} excludes what is due")
    for word in said if scene.accepted else ():
        if word in states and word not in scene.tables.skip_words | scene.tables.beside:
            text = f'Heard "{word}"; this item wants {_due(scene)}.'
            if any(p.values and not p.words for p in scene.accepted):
                return _unclear(Reason.OTHER_KIND, f"A number is due here; say {_due(scene)}.")
            return _mismatch(Reason.OTHER_STATE, text, f"{word} is another state")
    return None


def _incomplete(scene: Scene) -> Judgement | None:
    said = set(scene.texts)
    numbers = bool(runs_in(scene.tokens, scene.tables))
    for pattern in scene.accepted:
        have = pattern.words & said
        if pattern.words and have < pattern.words and (have or (pattern.values and numbers)):
            return _unclear(Reason.PARTIAL, f"A part is missing; say all of {_due(scene)}.")
        if pattern.values and not numbers:
            return _unclear(Reason.OTHER_KIND, f"A number is due here; say {_due(scene)}.")
    if numbers and not any(p.values for p in scene.accepted):
        return _unclear(Reason.OTHER_KIND, f"No number is due here; say {_due(scene)}.")
    return None
