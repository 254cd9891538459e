"""The right reply stays untold where that is asked for: voice, screen and printed lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.app.shared.tables import default_tables
from callout.core.checklist_run.refusal import likely_replies, to_try
from callout.core.conversation import effects as e
from callout.core.conversation.pacing import Pacing
from callout.core.conversation.withholding import NOT_IT, Reveal, tells_now, told_reason
from callout.core.judging.contrast import contrasting_replies, near_values
from callout.core.judging.judge import judge_reply
from callout.core.language.figures import shown_number
from callout.core.language.reasons import Reason
from callout.core.model.expectation import Words
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import PlannedItem
from tests.core.model.test_commands import expectations_of, shipped_lists
from tests.core.session_kit import Desk, item, plan

TABLES = default_tables()
each_shipped_list = pytest.mark.parametrize(
    "path", shipped_lists(), ids=lambda path: f"{path.parent.name}/{path.stem}"
)


def told(desk: Desk) -> str:
    """Return everything the last step said, printed or showed in words."""
    parts: list[str] = []
    for effect in desk.last:
        if isinstance(effect, e.Say):
            parts.append(effect.text)
        if isinstance(effect, e.Show):
            parts += [*effect.news, effect.view.sentence, *effect.view.options, *effect.view.lines]
            parts += [row.note for row in effect.view.rows]
    return " ".join(parts).casefold()


VAGUE = ("roger", "checked", "is it", "I think so", "er", "purple elephants")


def misses(planned: PlannedItem, number: int) -> Iterator[str]:
    """Yield wrong and unclear replies to an item: contrary states, near numbers, no answers.

    Each of a list's items is given two vague ones, in turn.
    """
    for answer in planned.expectation.accepted[:1]:
        yield from contrasting_replies(answer, TABLES)[:2]
        for part in answer.parts:
            if not isinstance(part, Words):
                yield from (shown_number(near) for near in near_values(part)[:2])
    yield from (VAGUE[(2 * number + more) % len(VAGUE)] for more in range(2))


def giveaways(planned: PlannedItem, reply: str) -> list[str]:
    """Return what would tell the right reply: each answer, and each word of it not just said."""
    said = set(re.findall(r"[a-z0-9.]+", f"{reply} {planned.challenge}".casefold()))
    usual = set(re.findall(r"[a-z0-9.]+", USUAL.casefold()))
    words = [
        word
        for answer in planned.expectation.accepted
        for word in re.findall(r"[a-z0-9.]+", answer.text.casefold())
    ]
    return [word for word in words if word not in said | usual]


USUAL = """
mismatch unclear heard typed that is wrong answers the previous next item was a question look and
say what you see please actual position or value those two contradict each other part missing
could make out number i unit too does not sound like an answer still understood its state together
type to it digit by later skip with reason help this left me nothing longer than any just be
"""
"""Words of the sentences themselves, which say nothing of an item."""


def shipped_items(path: Path) -> Iterator[tuple[str, PlannedItem]]:
    """Yield place and item, planned, of a shipped list."""
    for place, expected in expectations_of(path):
        yield place, item("one", expected.challenge or "One", expectation=expected)


@each_shipped_list
def test_nothing_tells_the_right_reply_of_a_shipped_item(path: Path) -> None:
    for number, (place, planned) in enumerate(shipped_items(path)):
        for reply in misses(planned, number):
            never_told(place, planned, reply)


def never_told(place: str, planned: PlannedItem, reply: str) -> None:
    """Answer an item four times with ``reply``: as long as it is open, nothing tells."""
    desk = Desk(plan(items=(planned,)), Pacing(reveal=Reveal.NEVER)).start()
    for _ in range(4):
        if not desk.state.progress.items[0].open or desk.state.progress.held:
            break
        desk.type(reply)
        text = told(desk)
        if desk.state.progress.items[0].open:
            words = giveaways(planned, reply)
            found = [w for w in words if re.search(rf"\b{re.escape(w)}\b", text)]
            assert not found, (place, reply, text)


def test_after_the_second_miss_it_is_told() -> None:
    desk = Desk(plan(), Pacing(reveal=Reveal.AFTER_SECOND)).start()
    desk.say("off")
    assert desk.spoken == f'Heard "off". {NOT_IT} Beacon?'
    desk.say("off")
    assert 'this item wants "on"' in desk.spoken


def test_unclear_replies_count_as_misses_too() -> None:
    desk = Desk(plan(), Pacing(reveal=Reveal.AFTER_SECOND)).start()
    desk.say("er")
    assert "on" not in desk.spoken.split()
    desk.say("er")
    assert 'Try "beacon on"' in desk.spoken


def test_at_once_is_what_happens_unless_something_else_is_asked_for() -> None:
    assert 'this item wants "on"' in Desk(plan()).start().say("off").spoken


def test_the_record_keeps_the_whole_reason_for_the_debrief() -> None:
    desk = Desk(plan(), Pacing(reveal=Reveal.NEVER)).start().say("off")
    assert any('wants "on"' in getattr(record, "reason", "") for record in desk.records)


@each_shipped_list
def test_what_is_to_be_tried_would_be_taken(path: Path) -> None:
    for place, planned in shipped_items(path):
        said = to_try(planned, TABLES)
        assert said, place
        assert judge_reply(said, planned.expectation, TABLES).verdict is Verdict.MATCH, place
        options = likely_replies(planned, TABLES)
        assert len(options) <= 6, place
        odd = "auto" in options and "auto" not in str(planned.expectation)
        assert not odd, f"{place}: odd words help nobody"


def test_likely_words_at_a_parking_brake_are_on_and_off() -> None:
    assert likely_replies(item("brake", "Parking brake", "on"), TABLES) == ("off", "on")


@given(st.sampled_from(Reason), st.sampled_from((Verdict.MISMATCH, Verdict.UNCLEAR)))
@settings(max_examples=80)
def test_a_code_that_nobody_has_thought_of_tells_nothing(code: Reason, verdict: Verdict) -> None:
    judged = Judgement(verdict, "some-new-code", 'say "secret"')
    assert "secret" not in told_reason(judged, tells=False)
    assert "secret" in told_reason(judged, tells=True)
    safe = Judgement(verdict, code, 'say "secret"')
    kept = {"nothing", "too-long", "unrelated", "hedge", "cancelled"}
    assert ("secret" in told_reason(safe, tells=False)) == (code in kept)


@pytest.mark.parametrize(
    ("reveal", "at_once", "second"),
    [(Reveal.ALWAYS, True, True), (Reveal.AFTER_SECOND, False, True), (Reveal.NEVER, False, False)],
)
def test_when_it_is_told(reveal: Reveal, at_once: bool, second: bool) -> None:
    assert tells_now(reveal, 1) is at_once
    assert tells_now(reveal, 2) is second
