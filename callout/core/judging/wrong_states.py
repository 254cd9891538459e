"""States, sides and negations that differ from the expected ones."""

from __future__ import annotations

from dataclasses import replace

from callout.core.judging.align import align_reply
from callout.core.judging.pattern import Pattern
from callout.core.judging.refusal_context import (
    RefusalContext,
    mismatch_judgement,
    reversed_root,
    unclear_judgement,
)
from callout.core.judging.reply import prepare_reply
from callout.core.language.reasons import Reason
from callout.core.model.verdict import Judgement
from callout.core.sentences import judging as sentences

_ALWAYS_TURN = frozenset({"un", "dis", "non", "mis"})
"""Prefixes that are not words of their own; "in neutral" is not "inneutral"."""


def _heard_instead(word: str, scene: RefusalContext) -> str:
    return sentences.heard_word_but_wants(word, scene.due)


def find_contradiction(scene: RefusalContext) -> Judgement | None:
    """Two states that exclude each other."""
    said = set(scene.texts)
    for pattern in scene.accepted:
        for word in sorted(pattern.words & said & scene.states):
            against = (scene.excluded(word) & said) - pattern.words - scene.echoed()
            if against:
                other = min(against)
                text = sentences.both_heard(word, other)
                return unclear_judgement(Reason.CONTRADICTORY, text, f"{word} excludes {other}")
    return None


def find_negated(scene: RefusalContext) -> Judgement | None:
    """The right state negated ("not set", "unlocked"), or an expected negation left out."""
    words, said = scene.expected, set(scene.texts)
    turned = (said & scene.tables.negations) - words
    if turned and (said & words or said & scene.contrary):
        beside = _about_else(scene)
        if beside:
            text = f'"{beside}" was heard as well; say just {scene.due}.'
            return unclear_judgement(Reason.EXTRA_WORDS, text, "a negation of something else")
        return mismatch_judgement(
            Reason.NEGATED, _heard_instead(" ".join(scene.texts), scene), "negation"
        )
    missing = (scene.tables.negations & words) - said
    if missing and said & (words - scene.tables.negations):
        return mismatch_judgement(
            Reason.NEGATED, sentences.answer_due(scene.due), "negation missing"
        )
    for text in scene.texts:
        root = reversed_root(text, words, scene.tables)
        if root is not None:
            return mismatch_judgement(
                Reason.NEGATED, _heard_instead(text, scene), f"{text} turns {root} round"
            )
    return _loose_prefix(scene, words)


def _about_else(scene: RefusalContext) -> str:
    """Return "no flags" if every negation is of something that is not a state of this item."""
    found = ""
    content = [t for t in scene.texts if t not in scene.tables.skip_words]
    for i, text in enumerate(content):
        if text not in scene.tables.negations - scene.expected:
            continue
        following = content[i + 1] if i + 1 < len(content) else ""
        states = scene.states | scene.expected | scene.tables.beside | scene.tables.negations
        if text != "no" or not following or following in states:
            return ""
        found = f"{text} {following}"
    return found


def _loose_prefix(scene: RefusalContext, words: frozenset[str]) -> Judgement | None:
    """ "Un locked", as a recogniser may write it."""
    for before, text in zip(scene.texts, scene.texts[1:], strict=False):
        reverses = before in _ALWAYS_TURN or before + text in scene.tables.known
        if (
            reverses
            and before in scene.tables.loose_prefixes
            and before not in words
            and text in words
        ):
            why = f"{before} turns {text} round"
            return mismatch_judgement(Reason.NEGATED, _heard_instead(before + text, scene), why)
    return None


def wrong_sides(scene: RefusalContext) -> Judgement | None:
    """The other side, or the right values on swapped sides."""
    said = set(scene.texts) & scene.tables.sides
    for pattern in scene.accepted if said else ():
        wanted = pattern.words & scene.tables.sides
        if wanted and not said & wanted:
            return mismatch_judgement(
                Reason.SIDES, _heard_instead(min(said), scene), "another side"
            )
        if len(wanted) > 1 and said >= wanted and _sides_exchanged(pattern, scene):
            text = sentences.sides_swapped(scene.due)
            return mismatch_judgement(Reason.SIDES, text, "sides swapped")
    return None


def _sides_exchanged(pattern: Pattern, scene: RefusalContext) -> bool:
    """True when the reply would be right with left and right swapped."""
    other = {"left": "right", "right": "left"}
    turned = tuple(replace(t, text=other.get(t.text, t.text)) for t in scene.tokens)
    reply = scene.reply
    again = prepare_reply(turned, reply.asked, scene.tables, reply.contrasts, reply.wrong)
    return align_reply(again, pattern) is not None


def find_opposite(scene: RefusalContext) -> Judgement | None:
    """A state that excludes the expected one, or simply another state."""
    if not scene.accepted or not all(scene.explained(t) for t in scene.content()):
        return None
    said = [w for w in scene.texts if w in scene.states - scene.expected - scene.echoed()]
    for word in said:
        if word in scene.contrary:
            why = f"{word} excludes what is due"
            return mismatch_judgement(Reason.OPPOSITE, _heard_instead(word, scene), why)
    harmless = scene.tables.skip_words | scene.tables.beside
    for word in (w for w in said if w not in harmless):
        whole = next((p for p in scene.accepted if p.words and p.words <= set(scene.texts)), None)
        if whole is not None and not whole.values:
            text = f'"{word}" was heard as well; say just {scene.due}.'
            return unclear_judgement(Reason.EXTRA_WORDS, text, f"{word} beside the answer")
        if any(p.values and not p.words for p in scene.accepted):
            return unclear_judgement(Reason.OTHER_KIND, sentences.number_wanted(scene.due))
        return mismatch_judgement(
            Reason.OTHER_STATE, _heard_instead(word, scene), f"{word} is another state"
        )
    return None
