"""The judge: decides how a reply compares with what an item expects."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from callout.core.judging.accepted import own_synonyms, patterns_for
from callout.core.judging.align import align_reply
from callout.core.judging.bare_status import says_no_state
from callout.core.judging.corrections import corrected_tokens
from callout.core.judging.diagnose import diagnose_reply
from callout.core.judging.hedges import hedge_words, is_question
from callout.core.judging.pattern import Pattern, compile_answer
from callout.core.judging.refusal_context import RefusalContext
from callout.core.judging.reply import ParsedReply, prepare_reply
from callout.core.judging.requests import is_order, only_agrees
from callout.core.judging.spelling import spelled_word
from callout.core.language.reasons import Reason
from callout.core.language.tables import Tables
from callout.core.language.words import LONGEST_REPLY, Lexed, Token, normalise_text, phrase_at
from callout.core.language.words import words_of as to_words
from callout.core.model.expectation import Answer, Expectation, WrongReply
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import judging as sentences

MOST_WORDS = 60
_VOLTS = re.compile(r"(\d)\s*[vV](?=\s*(?:$|[,;]))")
"""A written V means volts only if nothing follows; otherwise it begins V1, VR, V2."""
_MOST_STATES = 4
_TOO_LONG = sentences.LONGER_THAN_ANY_ANSWER


@dataclass(frozen=True, slots=True)
class _Case:
    """Everything prepared about one reply before the rules look at it."""

    lexed: Lexed
    tokens: tuple[Token, ...]
    reply: ParsedReply
    expectation: Expectation
    accepted: tuple[Pattern, ...]
    tables: Tables


def judge_reply(reply: str, expectation: Expectation, tables: Tables) -> Judgement:
    """Judge ``reply`` as heard or typed: match, mismatch or unclear, never a guess.

    Deterministic and total: every string gets a judgement.
    """
    if len(reply) > LONGEST_REPLY:
        return _unclear_judgement(Reason.TOO_LONG, _TOO_LONG)
    lexed = normalise_text(_VOLTS.sub(r"\1 volts", reply), tables, own_synonyms(expectation))
    if not lexed.tokens:
        return _unclear_judgement(Reason.NOTHING, sentences.NOTHING_SAID)
    if len(lexed.tokens) > MOST_WORDS:
        return _unclear_judgement(Reason.TOO_LONG, _TOO_LONG)
    accepted = patterns_for(expectation, tables)
    tokens = corrected_tokens(lexed.tokens, _listed_words(accepted), tables)
    found = _best_reading(lexed, tokens, expectation, accepted, tables)
    words = tuple(t.text for t in lexed.tokens)
    trace: tuple[str, ...] = (f"words: {' '.join(words)}",)
    if len(tokens) < len(lexed.tokens):
        kept = " ".join(t.text for t in tokens) or "nothing"
        trace += (f"correction: judged on what follows it: {kept}",)
    return replace(found, words=words, trace=trace + found.trace)


def _listed_words(accepted: Iterable[Pattern]) -> frozenset[str]:
    return frozenset(w for pattern in accepted for w in pattern.words)


def _best_reading(
    lexed: Lexed,
    tokens: tuple[Token, ...],
    expectation: Expectation,
    accepted: tuple[Pattern, ...],
    tables: Tables,
) -> Judgement:
    """Judge the words as said and, if they only spell a word, as that word."""
    if not tokens:
        return _unclear_judgement(Reason.CANCELLED, sentences.TAKEN_BACK)
    challenge = (
        normalise_text(expectation.challenge, tables).tokens if expectation.challenge else ()
    )
    contrasts = tuple(_single_words(group, tables) for group in expectation.contrasts)
    right = _listed_words(accepted)
    wrong = _listed_words(compile_answer(w.answer, tables) for w in expectation.wrong) - right
    found = None
    for said in (tokens, spelled_word(tokens, tables)):
        if said and (found is None or found.verdict is not Verdict.MATCH):
            ready = prepare_reply(said, challenge, tables, contrasts, wrong)
            found = _decide_case(_Case(lexed, said, ready, expectation, accepted, tables))
    assert found is not None
    return found


def _single_words(group: tuple[str, ...], tables: Tables) -> frozenset[str]:
    """Return the normalised words of a checklist's own contrast set; phrases are left out."""
    return frozenset(said[0] for text in group if len(said := to_words(text, tables)) == 1)


def _unclear_judgement(code: Reason, sentence: str) -> Judgement:
    return Judgement(Verdict.UNCLEAR, code.value, sentence)


def _decide_case(case: _Case) -> Judgement:
    asking = is_question(case.lexed, case.tokens, case.tables)
    requested = None if asking else _order_or_agreement(case)
    if requested is not None:
        return requested
    if not asking:
        for check in (_named_wrong, _right_reply, _as_required_then_state, _more_than_required):
            found = check(case)
            if found is not None:
                return found
    return diagnose_reply(
        RefusalContext(
            tokens=case.tokens,
            reply=case.reply,
            expectation=case.expectation,
            accepted=case.accepted[: len(case.expectation.accepted)],
            asking=asking,
            hedge=hedge_words(case.tokens, _listed_words(case.accepted), case.tables),
            tables=case.tables,
        )
    )


def _order_or_agreement(case: _Case) -> Judgement | None:
    """An order or mere agreement, whatever state it names."""
    due = " or ".join(_answer_words(a) for a in case.expectation.accepted[:3])
    if is_order(case.lexed.raw, case.tables):
        text = sentences.was_an_order(due)
        return _unclear_judgement(Reason.ORDERED, text)
    said = [token.text for token in case.lexed.raw]
    listed = any(said == a.text.casefold().split() for a in case.expectation.accepted)
    if not listed and only_agrees(case.lexed.raw, case.accepted, case.tables):
        return _unclear_judgement(Reason.ACKNOWLEDGED, sentences.agrees_only(due))
    return None


def _named_wrong(case: _Case) -> Judgement | None:
    for wrong in case.expectation.wrong:
        pairs = align_reply(case.reply, compile_answer(wrong.answer, case.tables), strict=True)
        if pairs is not None:
            return Judgement(
                Verdict.MISMATCH,
                Reason.NAMED_WRONG.value,
                _wrong_sentence(wrong, case.expectation, _other_words(case, pairs)),
                wrong.answer.text,
                trace=(_matched_words(pairs), "rule: the list names this reply as wrong"),
            )
    return None


def _other_words(case: _Case, pairs: tuple[tuple[str, str], ...]) -> str:
    """Return the reply's words if the wrong reply was said in other words."""
    same = all(said == listed for said, listed in pairs)
    return "" if same else " ".join(t.text for t in case.tokens)


def _wrong_sentence(wrong: WrongReply, expectation: Expectation, said: str) -> str:
    because = wrong.because.strip()
    if not because:
        due = " or ".join(_answer_words(a) for a in expectation.accepted[:3])
        heard = (
            f'"{said}", which is {_answer_words(wrong.answer)}'
            if said
            else _answer_words(wrong.answer)
        )
        return sentences.heard_but_wants(heard, due)
    text = f"{_answer_words(wrong.answer)} is wrong here: {because}"
    return text if text.endswith((".", "!")) else f"{text}."


def _answer_words(answer: Answer) -> str:
    return f'"{answer.text}"'


def _right_reply(case: _Case) -> Judgement | None:
    for pattern in case.accepted:
        if case.expectation.actual_status and says_no_state(pattern, case.tables):
            continue
        found = _full_match(case.reply, pattern)
        if found is not None:
            return found
    return None


def _full_match(reply: ParsedReply, pattern: Pattern) -> Judgement | None:
    pairs = align_reply(reply, pattern)
    if pairs is None:
        return None
    same = all(said == listed for said, listed in pairs)
    code = Reason.SAID if same else Reason.SAID_OTHERWISE
    return Judgement(
        Verdict.MATCH,
        code.value,
        sentences.as_listed(_answer_words(pattern.answer)),
        pattern.answer.text,
        trace=(_matched_words(pairs), "rule: every word of the reply is accounted for"),
    )


def _matched_words(pairs: tuple[tuple[str, str], ...]) -> str:
    return "matched: " + ", ".join(f"{said!r} as {listed!r}" for said, listed in pairs)


def _as_required_then_state(case: _Case) -> Judgement | None:
    """ "As required, off" where the list allows it."""
    if not case.expectation.as_required_with_status:
        return None
    found = phrase_at(case.tokens, 0, case.tables.as_required)
    if found is None or found[0] >= len(case.tokens):
        return None
    rest = prepare_reply(case.tokens[found[0] :], (), case.tables)
    for pattern in case.accepted:
        if not says_no_state(pattern, case.tables):
            judged = _full_match(rest, pattern)
            if judged is not None:
                return judged
    return None


def _more_than_required(case: _Case) -> Judgement | None:
    """ "As required, off" where the list asks only for "as required"."""
    found = phrase_at(case.tokens, 0, case.tables.as_required)
    if found is None or case.expectation.actual_status:
        return None
    rest = case.tokens[found[0] :]
    alone = prepare_reply(case.tokens[: found[0]], (), case.tables)
    if not 0 < len(rest) <= _MOST_STATES or not _just_states(rest, case.tables):
        return None
    return next((f for p in case.accepted if (f := _full_match(alone, p)) is not None), None)


def _just_states(tokens: tuple[Token, ...], tables: Tables) -> bool:
    """True for plain states that do not contradict each other."""
    texts = {t.text for t in tokens} - tables.skip_words - tables.beside
    if not texts or not texts <= tables.opposites.keys() - tables.negations:
        return False
    return not any(texts & set(tables.opposites[text]) for text in texts)
