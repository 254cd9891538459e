"""Compares what is said with what is set: the two halves of a verdict."""

from __future__ import annotations

from dataclasses import replace

from callout.core.checklist_run import records as r
from callout.core.checklist_run import wording
from callout.core.checklist_run.asking import advance_list, challenge_item
from callout.core.checklist_run.causes import NOT_SET, Why
from callout.core.checklist_run.state import ItemOutcome, Progress
from callout.core.checklist_run.turn import Turn
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import aircraft as sentences
from callout.core.state.keeping_watch import Kept, drifted_items
from callout.core.state.proving import Found, Standing, found_about

ALONE_S = 2.0
"""Silence after which the aircraft's state settles an item that allows it."""


def seen_at(turn: Turn, item: PlannedItem, reply: str = "") -> Found:
    """Return what the aircraft shows about ``item`` now. reply: the right reply as said."""
    board = turn.board if turn.context.watches else None
    return found_about(item.proof, board, turn.stamp.at, reply)


def held_against(judged: Judgement, seen: Found, words: str) -> Judgement:
    """Return the verdict on a reply after checking the aircraft.

    A right reply about something that is not set is never a match. words: as said.
    """
    if judged.verdict is not Verdict.MATCH or seen.standing is not Standing.NOT_SET:
        return judged
    said = sentences.said_but(words, seen.told)
    return replace(judged, verdict=Verdict.MISMATCH, code=NOT_SET, reason=said)


def not_set(turn: Turn, judged: Judgement) -> None:
    """Say at once that the reply was right but the control is not set, and ask again."""
    index = turn.progress.position
    assert index is not None
    turn.news(sentences.not_set(judged.reason))
    challenge_item(turn, index, Why.NOT_SET, judged.reason)
    turn.set(sentence=judged.reason)


def speech_alone(turn: Turn, seen: Found) -> tuple[str, str]:
    """Return what to show and say about a reply that counts by speech alone."""
    if seen.standing is not Standing.UNKNOWN:
        return "", ""
    told_of = any(part == "state" for part, _ in turn.moment.troubles)
    return sentences.by_speech_alone(seen.told), "" if told_of else sentences.BY_SPEECH_ALONE


def also_set(seen: Found) -> str:
    """Return what to add to a wrong reply about something that is correctly set."""
    return sentences.shown_too(seen.told) if seen.standing is Standing.SET else ""


def kept_of(progress: Progress) -> tuple[Kept, ...]:
    """Return the items of a list that were shown to be set."""
    pairs = zip(progress.plan.items, progress.items, strict=True)
    return tuple(
        Kept(p.id, p.challenge, p.proof, i.reply)
        for p, i in pairs
        if p.proof and i.outcome is ItemOutcome.ANSWERED and i.standing is Standing.SET
    )


def take_back(turn: Turn) -> bool:
    """Reopen right items whose controls have moved since; say whether there were any."""
    gone = drifted_items(kept_of(turn.progress), turn.board, turn.stamp.at)
    for one, shown in gone:
        turn.record(r.Reopened(item_id=one.item_id, because=shown))
        turn.tell(sentences.no_longer_so(one.challenge, shown))
    return bool(gone)


def silence_will_do(turn: Turn) -> bool:
    """Say whether the silence has lasted long enough for the state to settle the open item."""
    item, moment = turn.progress.item, turn.moment
    if item is None or not item.proof or not item.proof.alone or turn.progress.held:
        return False
    since = moment.silent_from
    return since is not None and not moment.speaking and turn.stamp.at - since >= ALONE_S


def settled_in_silence(turn: Turn) -> bool:
    """Settle the open item by the aircraft's state, if it allows that; say whether it did."""
    item = turn.progress.item
    if item is None or turn.progress.question or not item.proof or not item.proof.alone:
        return False
    seen = seen_at(turn, item)
    if seen.standing is not Standing.SET or wording.missing_now(turn.progress, item):
        return False
    reply = next(iter(item.accepted_texts), "")
    turn.record(r.Proved(item_id=item.id, reply=reply, found=seen.told))
    said = sentences.settled_by_state(item.challenge, seen.told)
    turn.news(sentences.by_state_alone(seen.told))
    turn.cut()
    turn.set(verdict=Verdict.MATCH, heard=None, lines=())
    advance_list(turn)
    turn.set(sentence=said)
    return True
