"""Why a wrong or unclear reply is not a match, in one sentence.

Nothing here can accept a reply; it only decides between refusing and asking again.
"""

from __future__ import annotations

from collections.abc import Callable

from callout.core.judging.align import align_reply
from callout.core.judging.pattern import Pattern, compile_answer
from callout.core.judging.refusal_context import (
    RefusalContext,
    mismatch_judgement,
    reversed_root,
    unclear_judgement,
)
from callout.core.judging.runs import runs_in
from callout.core.judging.wrong_numbers import wrong_numbers
from callout.core.judging.wrong_states import (
    find_contradiction,
    find_negated,
    find_opposite,
    wrong_sides,
)
from callout.core.language.reasons import Reason
from callout.core.language.words import Token, phrase_at
from callout.core.model.verdict import Judgement
from callout.core.sentences import judging as sentences


def diagnose_reply(scene: RefusalContext) -> Judgement:
    """Return the first finding that applies, most informative first."""
    rules: tuple[Callable[[RefusalContext], Judgement | None], ...] = (
        _empty_words, _unrelated, _question, _hedge, _neighbour, _bare, find_contradiction,
        find_negated, wrong_sides, wrong_numbers, find_opposite, _find_incomplete,
    )  # fmt: skip
    for rule in rules:
        found = rule(scene)
        if found is not None:
            return found
    return unclear_judgement(Reason.EXTRA_WORDS, sentences.not_taken_as_answer(scene.due))


def _empty_words(scene: RefusalContext) -> Judgement | None:
    if scene.content() or scene.expected & set(scene.texts):
        return None
    if all(t in scene.tables.hesitations for t in scene.texts):
        return unclear_judgement(Reason.NOTHING, sentences.NO_ANSWER_SAID)
    if scene.asking:
        return None
    text = sentences.only_acknowledges(scene.due)
    return unclear_judgement(Reason.ACKNOWLEDGED, text)


def _unrelated(scene: RefusalContext) -> Judgement | None:
    """A side remark: nothing in common with the item, or mostly words that no reply contains."""
    content = scene.content()
    words = _words_in_play(scene)
    numbers = any(p.values for p in scene.accepted)
    known = [t for t in content if _in_play(t, words, numbers, scene)]
    usual = scene.tables.known | scene.tables.question_subjects
    strange = [t for t in content if t.text not in usual and not scene.explained(t)]
    states = scene.states
    only_states = all(t.text in states or t.piece for t in content)
    if (known or only_states) and not (len(strange) > 1 and len(strange) >= len(known)):
        return None
    text = sentences.UNRELATED_REPLY
    return unclear_judgement(Reason.UNRELATED, text, "no word in common")


def _words_in_play(scene: RefusalContext) -> frozenset[str]:
    expectation, tables = scene.expectation, scene.tables
    others = (*expectation.previous, *expectation.following, *(w.answer for w in expectation.wrong))
    words = (compile_answer(answer, tables).words for answer in others)
    return (scene.expected | scene.contrary | tables.beside).union(*words)


def _in_play(token: Token, words: frozenset[str], numbers: bool, scene: RefusalContext) -> bool:
    if token.text in words or (numbers and token.piece is not None):
        return True
    if reversed_root(token.text, words, scene.tables) is not None:
        return True
    return any(token.text in index for index in (scene.tables.bare, scene.tables.as_required))


def _question(scene: RefusalContext) -> Judgement | None:
    if not scene.asking:
        return None
    return unclear_judgement(Reason.QUESTION, sentences.was_a_question(scene.due))


def _hedge(scene: RefusalContext) -> Judgement | None:
    if not scene.hedge:
        return None
    text = f'"{scene.hedge}" is not an answer; look, and say what you see.'
    return unclear_judgement(Reason.HEDGE, text, f"hedge: {scene.hedge}")


def _neighbour(scene: RefusalContext) -> Judgement | None:
    """The right answer to the previous or next item: the place was lost."""
    for answers, code, where in (
        (scene.expectation.previous, Reason.PREVIOUS_ITEM, "before"),
        (scene.expectation.following, Reason.NEXT_ITEM, "after"),
    ):
        for answer in answers:
            pattern = compile_answer(answer, scene.tables)
            if align_reply(scene.reply, pattern, strict=True) is not None and _belongs_elsewhere(
                pattern, scene
            ):
                text = f'"{answer.text}" answers the item {where}; this one wants {scene.due}.'
                return mismatch_judgement(code, text, f"answer to the item {where}")
    return None


def _belongs_elsewhere(pattern: Pattern, scene: RefusalContext) -> bool:
    """False for a wrong state of this item, or a part of its own answer."""
    part = any(pattern.words and pattern.words <= p.words for p in scene.accepted)
    return not _just_contrary(pattern, scene) and not (part and not pattern.values)


def _just_contrary(pattern: Pattern, scene: RefusalContext) -> bool:
    """A single state word that contradicts this item counts as a wrong state first."""
    return len(pattern.listed) == 1 and bool(pattern.words & scene.contrary)


def _bare(scene: RefusalContext) -> Judgement | None:
    """ "Checked", "set", "as required" and nothing else."""
    said = _bare_words(scene)
    if not said or scene.contrary & set(scene.texts):
        return None
    what = "value" if any(p.values for p in scene.accepted) else "position"
    text = f'"{said}" is not enough here: say the actual {what}.'
    return unclear_judgement(Reason.BARE_STATUS, text, "bare status")


def _bare_words(scene: RefusalContext) -> str:
    """Return the first status words if the reply contains no others, else nothing."""
    tables, tokens = scene.tables, scene.tokens
    first = ""
    i = 0
    while i < len(tokens):
        found = phrase_at(tokens, i, tables.as_required) or phrase_at(tokens, i, tables.bare)
        passed = scene.reply.skips[i] or scene.reply.echoes[i]
        if found is None and not passed:
            return ""
        if found is not None:
            first = first or " ".join(t.text for t in tokens[i : i + found[0]])
        i += found[0] if found else passed
    return first


def _find_incomplete(scene: RefusalContext) -> Judgement | None:
    said = set(scene.texts)
    numbers = bool(runs_in(scene.tokens, scene.tables))
    for pattern in scene.accepted:
        have = pattern.words & said
        if pattern.words and have < pattern.words and (have or (pattern.values and numbers)):
            return unclear_judgement(Reason.PARTIAL, sentences.part_missing(scene.due))
        if pattern.values and not numbers:
            return unclear_judgement(Reason.OTHER_KIND, sentences.number_wanted(scene.due))
    if numbers and not any(p.values for p in scene.accepted):
        return unclear_judgement(Reason.OTHER_KIND, sentences.no_number_wanted(scene.due))
    return None
