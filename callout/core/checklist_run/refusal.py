"""What follows a wrong or unclear reply: the reason, and how to do better."""

from __future__ import annotations

from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import challenge_item
from callout.core.checklist_run.causes import Why
from callout.core.checklist_run.turn import Turn
from callout.core.conversation.withholding import Reveal, tells_now, told_reason
from callout.core.judging.contrast import contrasting_replies
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.model.utterance import Utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem

NOT_KNOWN = "not-known-yet"
"""The item needs a quantity that is not yet known."""
WRONG_SEAT = "wrong-seat"
HELP_FROM = 2
"""Number of consecutive unclear replies after which the tool says how to do better."""
CALM_AFTER = 3
"""Number of consecutive unclear replies after which the tool stops asking aloud."""
MOST_OPTIONS = 6
"""Maximum number of replies to choose from; more would be a guessing game."""


def refuse_mismatch(
    turn: Turn, item: PlannedItem, utterance: Utterance, judged: Judgement, besides: str = ""
) -> None:
    """Say that a reply was wrong, and ask again.

    besides: what the aircraft shows, told only where the right reply may be revealed.
    """
    index = turn.progress.position
    assert index is not None
    tells = _tells_answer(turn, index)
    sentence = _reason_naming(utterance, told_reason(judged, tells=tells))
    sentence = f"{sentence} {besides}".rstrip() if tells else sentence
    turn.news(f"Mismatch. {sentence}")
    challenge_item(turn, index, Why.MISMATCH, sentence)
    turn.set(sentence=sentence)


def ask_again(turn: Turn, item: PlannedItem, utterance: Utterance, judged: Judgement) -> None:
    """Say that a reply was not understood, and ask again; from the second time on with help."""
    index = turn.progress.position
    assert index is not None
    run = turn.progress.items[index].unclear_run
    tells = _tells_answer(turn, index)
    reason = told_reason(judged, tells=tells)
    turn.news(f"Unclear. {wording.heard_line(utterance)} {reason}")
    if run < HELP_FROM or judged.code in (NOT_KNOWN, WRONG_SEAT):
        if run <= CALM_AFTER:
            challenge_item(turn, index, Why.UNCLEAR, reason)
        turn.set(sentence=reason)
        return
    options = likely_replies(item, turn.context.tables) if tells else ()
    example = to_try(item, turn.context.tables) if tells else ""
    way = wording.another_way(item, example, run, numbered=bool(options))
    turn.set(options=options)
    if run <= CALM_AFTER:
        challenge_item(turn, index, Why.UNCLEAR, way)
    turn.news(way, *(f"  {n}: {text}" for n, text in enumerate(options, 1)))
    turn.set(sentence=way)


def _tells_answer(turn: Turn, index: int) -> bool:
    item = turn.progress.items[index]
    reveal = turn.context.pacing.reveal or Reveal.ALWAYS
    return tells_now(reveal, item.mismatches + item.unclear)


def to_try(item: PlannedItem, tables: Tables) -> str:
    """Return an example of an acceptable reply, challenge and state together, as spoken."""
    for answer in item.expectation.accepted:
        said = next(iter(spoken_forms(answer, tables, 1)), "")
        whole = f"{item.expectation.challenge.lower()} {said}".strip()
        for form in (said, whole) if item.wants_value else (whole, said):
            if form and judge_reply(form, item.expectation, tables).verdict is Verdict.MATCH:
                return form
    return ""


def likely_replies(item: PlannedItem, tables: Tables) -> tuple[str, ...]:
    """Return replies to choose from, right and wrong mixed, in an order that reveals nothing.

    They are the wrong replies of the list or, if it names none, the plainest contrary. None are
    offered for numbers: choosing one of a few would amount to reading the answer.
    """
    if item.wants_value:
        return ()
    expectation = item.expectation
    texts = [answer.text for answer in expectation.accepted]
    declared = [group for group in expectation.contrasts if set(group) & set(texts)]
    texts += [wrong.answer.text for wrong in expectation.wrong]
    texts += [text for group in declared for text in group]
    if not expectation.wrong and not declared:
        texts += (
            contrasting_replies(expectation.accepted[0], tables)[:1] if expectation.accepted else ()
        )
    offered = sorted(dict.fromkeys(texts), key=str.casefold)
    return tuple(offered) if 2 <= len(offered) <= MOST_OPTIONS else ()


def _reason_naming(utterance: Utterance, reason: str) -> str:
    """Return the reason, including what was heard."""
    if utterance.words.casefold() in reason.casefold():
        return reason
    return f"{wording.heard_line(utterance)} {reason}"
