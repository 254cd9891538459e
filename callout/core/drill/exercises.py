"""Turns items into exercises: what is said and shown, and which replies are right."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace

from callout.core.drill.entries import Entry, ItemKey, items_applying
from callout.core.drill.evidence import Weakness
from callout.core.drill.exercise import Exercise, Mode
from callout.core.drill.picking import Pick
from callout.core.judging.contrast import contrasting_replies, near_values
from callout.core.judging.judge import judge_reply
from callout.core.language.spoken import spoken_forms
from callout.core.language.tables import Tables
from callout.core.model.expectation import Answer, Expectation, Value, Words, WrongReply, phrase
from callout.core.model.verdict import Verdict
from callout.core.planning.plan import PlannedItem
from callout.core.sentences import drill as sentences

RIGHT = ("right", "correct", "that is right", "that is correct", "affirm")
WRONG = ("wrong", "incorrect", "not right", "that is wrong", "not correct", "negative")
_STATES = frozenset({"right", "left", "wrong", "correct", "incorrect"})
_TRIED = 12
"""Wrong states tried before an exercise of another kind is used instead."""
_LIKELY = 2
"""Of those, the likeliest are stated: named ones and plain opposites come first."""


def exercises_of(
    picks: Sequence[Pick], mode: Mode | None, seed: str, tables: Tables
) -> tuple[Exercise, ...]:
    """Return an exercise for each pick; mode None: the kind that suits the item's weakness.

    seed: the same seed repeats the same choices. In the order of ``picks``; in list order for
    challenges alone.
    """
    ordered = list(picks)
    if mode is Mode.CHALLENGE:
        ordered.sort(key=lambda p: (p.entry.key.aircraft, p.entry.key.list_id, p.entry.place))
    else:
        ordered = _mixed(ordered)
    return tuple(_exercise(p, mode or _suited(p, seed), seed, tables) for p in ordered)


def _mixed(picks: list[Pick]) -> list[Pick]:
    """Return picks so that a list does not follow itself while another is left; otherwise the order
    stays.
    """
    rest, found = list(picks), list[Pick]()
    while rest:
        last = found[-1].entry.key.list_id if found else ""
        other = next((p for p in rest if p.entry.key.list_id != last), rest[0])
        rest.remove(other)
        found.append(other)
    return found


def _suited(pick: Pick, seed: str) -> Mode:
    match pick.weakness:
        case Weakness.OMITTED:
            return Mode.NEXT_ITEM
        case Weakness.FAST:
            return Mode.WRONG_STATE
        case _:
            modes = (Mode.OUT_OF_CONTEXT, Mode.OUT_OF_CONTEXT, Mode.WRONG_STATE, Mode.NEXT_ITEM)
            return modes[_chance(seed, pick.entry.key, "mode") % len(modes)]


def _exercise(pick: Pick, mode: Mode, seed: str, tables: Tables) -> Exercise:
    made = None
    if mode is Mode.WRONG_STATE:
        made = _wrong_state(pick.entry, seed, tables)
    elif mode is Mode.NEXT_ITEM:
        made = _next_item(pick.entry, tables)
    made = made or _challenge(pick.entry, tables, alone=mode is not Mode.CHALLENGE)
    risk = None if pick.new else round(pick.risk, 4)
    return replace(made, weakness=pick.weakness, new=pick.new, risk=risk, why=pick.entry.item.why)


def _challenge(entry: Entry, tables: Tables, *, alone: bool) -> Exercise:
    """An item by itself; when it stands alone its neighbours' replies mean nothing."""
    item = entry.item
    expected = item.expectation
    if alone:
        expected = replace(expected, previous=(), following=())
    flight, said = _flight(item, tables)
    lead = f"{entry.plan.title}. {said}"
    return Exercise(
        key=entry.key,
        mode=Mode.OUT_OF_CONTEXT if alone else Mode.CHALLENGE,
        title=entry.plan.title,
        prompt=item.challenge,
        spoken=f"{lead if alone else said}{_asked(item)}",
        expectation=expected,
        answer=item.expectation.accepted[0].text,
        name=item.challenge,
        critical=item.critical,
        flight=flight,
    )


def _next_item(entry: Entry, tables: Tables) -> Exercise | None:
    item, before = entry.item, entry.before
    names = _names(item)
    others = [o for o in items_applying(entry.plan) if o.id != item.id and not _names(o) & names]
    accepted = tuple(phrase(name) for name in sorted(names, key=lambda n: n != item.challenge))
    wrong = tuple(
        WrongReply(phrase(name), f"it comes {_where(entry, other)}")
        for other in others
        for name in sorted(_names(other))
    )
    expected = Expectation(accepted=accepted, wrong=_tellable(wrong, accepted, tables))
    place = f"after {before.challenge}" if before else "first"
    return Exercise(
        key=entry.key,
        mode=Mode.NEXT_ITEM,
        title=entry.plan.title,
        prompt=f"After {before.challenge}" if before else "First item",
        spoken=sentences.which_item_comes(entry.plan.title, place),
        expectation=expected,
        answer=item.challenge,
        name=item.challenge,
        critical=item.critical,
    )


def _tellable(
    wrong: Iterable[WrongReply], accepted: tuple[Answer, ...], tables: Tables
) -> tuple[WrongReply, ...]:
    """Leave out names that the judge takes for the right one ("Trim", "Trims")."""
    alone = Expectation(accepted)
    found = {w.answer.text: w for w in wrong}
    return tuple(
        w for w in found.values()
        if judge_reply(w.answer.text, alone, tables).verdict is not Verdict.MATCH
    )  # fmt: skip


def _names(item: PlannedItem) -> frozenset[str]:
    return frozenset({item.challenge, item.spoken.rstrip(" .?!:")})


def _where(entry: Entry, other: PlannedItem) -> str:
    places = [i.id for i in items_applying(entry.plan)]
    return "earlier" if places.index(other.id) < entry.place else "later"


def _wrong_state(entry: Entry, seed: str, tables: Tables) -> Exercise | None:
    item = entry.item
    listed = (*item.expectation.accepted, *(w.answer for w in item.expectation.wrong))
    if any(_STATES & set(answer.text.casefold().split()) for answer in listed):
        return None  # "right" is a state of this item
    right = item.expectation.accepted[0]
    false = _chance(seed, entry.key, "state") % 2 == 1
    stated = _false_state(item, seed, entry.key, tables) if false else right
    if stated is None:
        return None
    flight, said = _flight(item, tables)
    truth, contrary = (WRONG, RIGHT) if false else (RIGHT, WRONG)
    direct = item.expectation.accepted
    corrected = tuple(Answer((Words("wrong"), *a.parts), f"wrong, {a.text}") for a in direct)
    why = f'it should be "{right.text}"' if false else f'"{right.text}" is what it should be'
    expected = Expectation(
        accepted=(*map(phrase, truth), *direct, *(corrected if false else ())),
        wrong=tuple(WrongReply(phrase(text), why) for text in contrary),
        challenge=item.expectation.challenge,
        contrasts=item.expectation.contrasts,
        synonyms=item.expectation.synonyms,
    )
    return Exercise(
        key=entry.key,
        mode=Mode.WRONG_STATE,
        title=entry.plan.title,
        prompt=f"{item.challenge}: {stated.text}",
        spoken=sentences.right_or_wrong(
            entry.plan.title, said, item.spoken.rstrip(" .?!:"), _said(stated, tables)
        ),
        expectation=expected,
        answer=right.text,
        name=item.challenge,
        critical=item.critical,
        flight=flight,
        then=replace(item.expectation, previous=(), following=()) if false else None,
        fallen=WRONG if false else (),
    )


def _false_state(item: PlannedItem, seed: str, key: ItemKey, tables: Tables) -> Answer | None:
    """Return a plausible wrong state that the judge is sure is wrong."""
    right = item.expectation.accepted[0]
    made = [wrong.answer for wrong in item.expectation.wrong]
    made += [
        phrase(text) for text in contrasting_replies(right, tables, item.expectation.contrasts)
    ]
    for n, part in enumerate(right.parts):
        if isinstance(part, Value):
            for near in near_values(part)[:_TRIED]:
                parts = (*right.parts[:n], near, *right.parts[n + 1 :])
                made.append(Answer(parts, _written(right, part, near)))
    sure = [a for a in made[:_TRIED] if _is_wrong(a, item, tables)]
    likely = sure[:_LIKELY]
    return likely[_chance(seed, key, "false") % len(likely)] if likely else None


def _is_wrong(answer: Answer, item: PlannedItem, tables: Tables) -> bool:
    said = _said(answer, tables)
    return judge_reply(said, item.expectation, tables).verdict is Verdict.MISMATCH


def _written(answer: Answer, value: Value, near: Value) -> str:
    """Return the answer as written with one value in place of another."""
    old, new = _figures(value), _figures(near)
    return answer.text.replace(old, new, 1) if old in answer.text else f"{new} {near.unit or ''}"


def _figures(value: Value) -> str:
    number = str(value.number)
    return number.zfill(value.digits) if value.digits else number


def _flight(item: PlannedItem, tables: Tables) -> tuple[str, str]:
    """Return the flight's value, as shown and as said: nobody knows it by heart."""
    if not item.wants_value:
        return "", ""
    answer = item.expectation.accepted[0]
    return answer.text, sentences.flight_has(_said(answer, tables))


def _said(answer: Answer, tables: Tables) -> str:
    if not any(isinstance(part, Value) for part in answer.parts):
        return answer.text
    return next(iter(spoken_forms(answer, tables, 1)), answer.text)


def _asked(item: PlannedItem) -> str:
    return f"{item.spoken.rstrip(' .?!:')}?"


def _chance(seed: str, key: ItemKey, what: str) -> int:
    """Return a number that looks random but is the same for the same drill."""
    text = "\n".join((seed, key.aircraft, key.list_id, key.item_id, what))
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:4])
