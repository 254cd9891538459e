"""Replies with the verdicts that a list's author expects, and whether they get them here."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.model.checklist import Checklist
from callout.core.model.flight import Flight
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.planning.run_plan import plan_for
from callout.core.sentences import packs as say
from callout.errors import ChecklistInvalid

MOST_PAIRS: Final = 20_000
_LONGEST: Final = 300


@dataclass(frozen=True, slots=True)
class Pair:
    """One reply at one item, and its verdict."""

    list_id: str
    item_id: str
    reply: str
    verdict: Verdict


def pairs_in(text: str, where: str) -> Iterator[Pair]:
    """Yield the pairs of a text of JSON lines; raise ChecklistInvalid naming the line."""
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        if number > MOST_PAIRS:
            raise _unusable(where, number, f"there are more than {MOST_PAIRS:,} pairs")
        try:
            told = json.loads(line)
        except (ValueError, RecursionError) as error:
            raise _unusable(where, number, "this is not JSON") from error
        yield _pair_from(told, where, number)


def _pair_from(told: Any, where: str, number: int) -> Pair:
    keys = ("list", "item", "reply", "verdict")
    if not isinstance(told, dict) or any(not isinstance(told.get(k), str) for k in keys):
        raise _unusable(where, number, "it lacks list, item, reply or verdict")
    if max(len(told[k]) for k in keys) > _LONGEST:
        raise _unusable(where, number, "it is too long")
    try:
        verdict = Verdict(told["verdict"])
    except ValueError as error:
        raise _unusable(where, number, "a verdict is match, mismatch or unclear") from error
    return Pair(told["list"], told["item"], told["reply"], verdict)


def _unusable(where: str, number: int, why: str) -> ChecklistInvalid:
    return ChecklistInvalid(say.pair_unusable(where, number, why), say.how_pairs_look())


def pair_line(pair: Pair) -> str:
    """Return a pair as a line of JSON."""
    told = {
        "list": pair.list_id,
        "item": pair.item_id,
        "reply": pair.reply,
        "verdict": pair.verdict.value,
    }
    return json.dumps(told, ensure_ascii=False)


def usual_pairs(lists: Mapping[str, Checklist], flight: Flight) -> Iterator[Pair]:
    """Yield what every list must do: accept its right replies, and refuse its wrong ones."""
    for checklist, items in _planned_lists(lists, flight):
        for item in items.values():
            for answer in item.expectation.accepted:
                if _verdict(item, answer.text) is Verdict.MATCH:
                    yield Pair(checklist.id, item.id, answer.text, Verdict.MATCH)
            for wrong in item.expectation.wrong:
                if _verdict(item, wrong.answer.text) is Verdict.MISMATCH:
                    yield Pair(checklist.id, item.id, wrong.answer.text, Verdict.MISMATCH)


def differing_pairs(
    pairs: list[Pair], lists: Mapping[str, Checklist], flight: Flight
) -> Iterator[str]:
    """Yield a sentence for each pair whose verdict here differs from the author's."""
    known = {checklist.id: items for checklist, items in _planned_lists(lists, flight)}
    for pair in pairs:
        item = known.get(pair.list_id, {}).get(pair.item_id)
        found = _verdict(item, pair.reply).value if item is not None else "item that is not there"
        if found != pair.verdict.value:
            title = lists[pair.list_id].title if pair.list_id in lists else pair.list_id
            challenge = item.challenge if item is not None else pair.item_id
            yield say.pair_differs(title, challenge, pair.reply, pair.verdict.value, found)


def _planned_lists(
    lists: Mapping[str, Checklist], flight: Flight
) -> Iterator[tuple[Checklist, dict[str, PlannedItem]]]:
    for checklist in lists.values():
        plan = plan_for(checklist, flight, default_tables())
        yield checklist, {item.id: item for item in plan.items}


def _verdict(item: PlannedItem, reply: str) -> Verdict:
    return judge_reply(reply, item.expectation, default_tables()).verdict
