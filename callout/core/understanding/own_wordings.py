"""A person's own wording of a reply: whether it may be accepted from now on, and which to offer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from callout.core.judging.contrast import contrasting_replies, opposites_of
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.phrases import names_one
from callout.core.language.reasons import Reason
from callout.core.language.tables import Tables
from callout.core.language.usage import names_of
from callout.core.language.words import words_of as to_words
from callout.core.model.expectation import Answer, Expectation, Value
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import judging as sentences

MOST_WORDS = 12
"""Words; a longer reply is conversation, not a wording."""
ACCEPTED = sentences.ALREADY_ACCEPTED
_MAY = frozenset({Reason.UNRELATED, Reason.EXTRA_WORDS})
"""Unclear replies that a person may vouch for; all others say something else, or too little."""
NUMBERS = sentences.WORDING_OF_A_NUMBER
_STEM = 4
"""Letters; the stem from which another form of a word is recognised."""
_NOT_YET = frozenset(
    {"still", "soon", "later", "pending", "partly", "partially", "almost", "nearly", "waiting"}
    | {"needs", "needed", "after", "until", "follow", "being", "transit", "will"}
)
"""Words for a state not yet or no longer reached. Common practice."""
_FAULTS = frozenset(
    {"ajar", "stuck", "failed", "broken", "rough", "stiff", "spongy", "soft", "sticky", "cloudy"}
    | {
        "dirty",
        "tripped",
        "popped",
        "lost",
        "quit",
        "dead",
        "empty",
        "low",
        "high",
        "leaking",
        "loose",
    }
    | {"worn", "cracked", "bent", "missing", "differ", "disagree", "erratic", "intermittent"}
    | {"lukewarm", "flag", "flags"}
)
"""Words for a fault. Common practice."""
_TOO_LITTLE = {
    Reason.PARTIAL: sentences.WORDING_INCOMPLETE,
    Reason.BARE_STATUS: sentences.WORDING_WITHOUT_STATE,
    Reason.ACKNOWLEDGED: sentences.WORDING_AGREES,
    Reason.ORDERED: sentences.WORDING_ORDERS,
    Reason.HEDGE: sentences.WORDING_GUESSES,
    Reason.QUESTION: sentences.WORDING_ASKS,
    Reason.CONTRADICTORY: sentences.WORDING_CONTRADICTS,
    Reason.PREVIOUS_ITEM: sentences.WORDING_OF_PREVIOUS,
    Reason.NEXT_ITEM: sentences.WORDING_OF_NEXT,
}


@dataclass(frozen=True, slots=True)
class WordingOffer:
    """A reply that was not accepted before the person gave the right one."""

    item_id: str
    challenge: str
    words: str
    right: str
    """The accepted reply that followed."""
    critical: bool = False
    sure: bool = True
    """False: the words come from an unsure transcript and may be misheard."""


def why_not(words: str, expectation: Expectation, tables: Tables) -> str:
    """Return one sentence on why ``words`` may not be accepted from now on; empty: they may.

    Never a contrary state, a wrong number, side or negation, nor anything that would make such a
    reply right.
    """
    said = to_words(words, tables)
    if not said or len(words.split()) > MOST_WORDS:
        return sentences.WORDING_TOO_LONG
    judged = judge_reply(words, expectation, tables)
    if judged.verdict is Verdict.MATCH:
        return ACCEPTED
    return (
        _by_verdict(judged)
        or _by_numbers(words, expectation, tables)
        or _by_words(said, expectation, tables)
        or _by_trial(words, expectation, tables)
    )


def _by_verdict(judged: Judgement) -> str:
    code = Reason(judged.code) if judged.code in set(Reason) else None
    if judged.verdict is Verdict.UNCLEAR and code in _MAY:
        return ""
    if code in _TOO_LITTLE:
        return _TOO_LITTLE[code]
    wrong = "It is wrong here" if judged.verdict is Verdict.MISMATCH else "It is not a clear report"
    return f"{wrong}: {judged.reason}"


def _by_numbers(words: str, expectation: Expectation, tables: Tables) -> str:
    answers = (*expectation.accepted, parse_answer(words, tables))
    return NUMBERS if any(isinstance(p, Value) for a in answers for p in a.parts) else ""


def _by_words(said: Sequence[str], expectation: Expectation, tables: Tables) -> str:
    """Return a contrary state in the words themselves, whatever surrounds it."""
    listed = {word for answer in expectation.accepted for word in to_words(answer.text, tables)}
    for word in said:
        if word in tables.negations and word not in listed:
            return f'"{word}" reverses a reply.'
        against = set(opposites_of(word, tables, expectation.contrasts)) & listed
        if word not in listed and against:
            return f'"{word}" is the contrary of "{min(against)}".'
        if word not in listed and word in tables.sides:
            return f'"{word}" names a side that the reply does not.'
    if unfit := _by_manner(said, listed, tables):
        return unfit
    turned = _inflected_contrary(said, listed, expectation, tables)
    if turned:
        return f'"{turned[0]}" is too close to "{turned[1]}", its opposite.'
    for wrong in expectation.wrong:
        named = set(to_words(wrong.answer.text, tables)) - listed
        if named and named <= set(said):
            return f'"{wrong.answer.text}" is named as wrong here.'
    return ""


def _by_manner(said: Sequence[str], listed: set[str], tables: Tables) -> str:
    """Return why the words report nothing, or nothing that the list asks for."""
    unfinished = next(
        (w for w in said if w not in listed and _says_unfinished(w, listed, tables)), ""
    )
    if unfinished:
        return f'"{unfinished}" says that it is not done yet.'
    if names_one(tuple(said), tables.hedges):
        return _TOO_LITTLE[Reason.HEDGE]
    if said[-1] == "it" or "please" in said:
        return _TOO_LITTLE[Reason.ORDERED]
    fault = next((w for w in said if w not in listed and w in _FAULTS), "")
    if fault:
        return f'"{fault}" is a fault, and is never what a list wants to hear.'
    return ""


def _says_unfinished(word: str, listed: set[str], tables: Tables) -> bool:
    """ "Later", "arming", "dropping", "undone": postponed, in progress, or reversed.

    A word in the tables such as "charging" is a lasting state and does not count.
    """
    stem = word[:-3]
    same = any(stem == w[: len(stem)] for w in listed)
    state = word in tables.opposites or word in tables.usage.additions
    under_way = word.endswith("ing") and len(word) > _STEM and (same or not state)
    return word in _NOT_YET or under_way or (word.startswith("un") and word.endswith("e"))


def _inflected_contrary(
    said: Sequence[str], listed: set[str], expectation: Expectation, tables: Tables
) -> tuple[str, str] | None:
    """Return a word derived from a contrary of the listed state: "leaned" for "rich"."""
    contrary = {c for w in listed for c in opposites_of(w, tables, expectation.contrasts)} - listed
    contrary |= {w for e in expectation.wrong for w in to_words(e.answer.text, tables)} - listed
    pairs = ((word, c) for word in said for c in contrary if len(c) >= _STEM and c in word)
    return next(((word, c) for word, c in pairs if word not in listed), None)


def _by_trial(words: str, expectation: Expectation, tables: Tables) -> str:
    """Judge the wording, and every contrary of the item, as they would be judged once it is
    accepted.
    """
    new = parse_answer(words, tables)
    wider = replace(expectation, accepted=(*expectation.accepted, new))
    if judge_reply(words, wider, tables).verdict is not Verdict.MATCH:
        return sentences.WORDING_NEVER_RIGHT
    for wrong in _contrary_words(wider, tables):
        if judge_reply(wrong, wider, tables).verdict is Verdict.MATCH:
            return sentences.wording_admits(wrong)
    return ""


def _contrary_words(wider: Expectation, tables: Tables) -> Iterator[str]:
    yield from (wrong.answer.text for wrong in wider.wrong)
    for answer in wider.accepted:
        yield from contrasting_replies(answer, tables, wider.contrasts)


def with_wording(expectation: Expectation, words: str, tables: Tables) -> Expectation:
    """Return the expectation with one more wording, added once."""
    if any(answer.text == words for answer in expectation.accepted):
        return expectation
    return replace(expectation, accepted=(*expectation.accepted, parse_answer(words, tables)))


def without_wording(expectation: Expectation, words: str) -> Expectation:
    """Return the expectation without a revoked wording; the listed reply always stays."""
    first, *others = expectation.accepted or (Answer((), ""),)
    kept = tuple(answer for answer in others if answer.text != words)
    return replace(expectation, accepted=(first, *kept)) if expectation.accepted else expectation


def offer_of(
    item: PlannedItem, refused: Sequence[Utterance], right: str, tables: Tables
) -> Iterator[WordingOffer]:
    """Yield the replies that can be offered: not accepted before the right one came."""
    if item.leads or item.missing:
        return
    for said in refused:
        words = plain_words(said)
        likely = _may_mean_the_same(words, item, tables)
        if likely and not why_not(words, item.expectation, tables):
            yield WordingOffer(item.id, item.challenge, words, right, item.critical, said.sure)


def _may_mean_the_same(words: str, item: PlannedItem, tables: Tables) -> bool:
    """Say whether a reply may be another wording of the right one, and so be worth an offer.

    It shares a word with the right reply, names what was challenged, or ends in a known state.
    """
    said = [w for w in to_words(words, tables) if w not in tables.skip_words]
    if not said:
        return False
    asked = to_words(item.challenge, tables)
    phrases = [to_words(answer.text, tables) for answer in item.expectation.accepted]
    about = {w for p in (asked, *phrases, *names_of(asked, tables)) for w in p} - tables.quantifiers
    return said[-1] in tables.opposites or any(_is_form(w, known) for w in said for known in about)


def _is_form(word: str, known: str) -> bool:
    """Say whether two words are the same, or begin alike and are long enough for that to tell."""
    long = min(len(word), len(known)) > _STEM
    return word == known or (long and word[: _STEM + 1] == known[: _STEM + 1])


def plain_words(said: Utterance) -> str:
    """Return the words of a reply in the style of a list: lower case, no full stop."""
    return " ".join(said.words.split()).strip(" .,!?").lower()
