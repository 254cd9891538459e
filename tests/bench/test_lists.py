"""What is said to whole lists, and how the outcomes are counted."""

from __future__ import annotations

from pathlib import Path

import pytest

from callout.app.shared.checklist_files import load_checklist
from callout.app.shared.tables import default_tables
from callout.bench.list_outcomes import ListOutcome, summary_lines, time_lines
from callout.bench.lists import ListPlayer, list_replies, reversed_replies
from callout.bench.synth import installed_voices
from callout.core.judging.judge import judge_reply
from callout.core.model.verdict import Verdict

SHIPPED = Path(__file__).parents[2] / "checklists"
TAXI = SHIPPED / "sandling-two" / "taxi.yaml"


def test_every_item_and_every_named_wrong_reply_is_said() -> None:
    items = load_checklist(TAXI).items
    said = list(list_replies([TAXI], wrong=True))
    assert [s.item_id for s in said if s.right] == [item.id for item in items]
    assert sum(not s.right for s in said) == sum(len(item.wrong) for item in items)
    assert len(list(list_replies([TAXI], wrong=False))) == len(items)


def test_what_is_said_is_right_or_wrong_to_the_judge() -> None:
    for spoken in list_replies([SHIPPED], wrong=True):
        verdict = judge_reply(spoken.said, spoken.expectation, default_tables()).verdict
        assert (verdict is Verdict.MATCH) == spoken.right, (spoken.file, spoken.item_id)


def test_reversed_replies_are_wrong_and_said_once() -> None:
    said = list(reversed_replies(list_replies([SHIPPED], wrong=True)))
    words = [spoken.said for spoken in said]
    assert {"unidentified", "closed and unarmed", "moving incorrectly"} <= set(words)
    assert len(words) == len(set(words)) > 40
    for spoken in said:
        verdict = judge_reply(spoken.said, spoken.expectation, default_tables()).verdict
        assert not spoken.right
        assert verdict is not Verdict.MATCH


def outcome(right: bool, verdict: Verdict) -> ListOutcome:
    return ListOutcome("f", "i", "flite:slt", "on", right, verdict.value, "on", "")


def test_the_counts_carry_wilson_intervals() -> None:
    """Newcombe (1998): 0 of 20 has the 95 % interval 0 to 0.1611."""
    outcomes = [outcome(True, Verdict.MATCH)] * 3 + [outcome(True, Verdict.UNCLEAR)]
    outcomes += [outcome(False, Verdict.MISMATCH)] * 20
    lines = list(summary_lines(outcomes, ("flite:slt",)))
    assert "flite:slt: right replies taken at once: 3 of 4, 75.00%" in lines[0]
    assert lines[1].endswith("wrong replies accepted: 0 of 20, 0.00% [0.00%, 16.11%]")
    assert "all voices: wrong replies named at once: 20 of 20" in lines[-1]


def test_numbers_have_times_of_their_own() -> None:
    told = list(time_lines([(400.0, False)] * 19 + [(900.0, True)]))
    assert told == [
        "all right replies: end of speech to verdict 400 ms, 95 % 900 ms (20)",
        "words: end of speech to verdict 400 ms, 95 % 400 ms (19)",
        "numbers: end of speech to verdict 900 ms, 95 % 900 ms (1)",
    ]


@pytest.mark.audio
@pytest.mark.skipif(
    "flite:slt" not in installed_voices(), reason="the flite voices are not installed"
)
def test_a_wrong_reply_said_aloud_is_never_taken() -> None:
    listener = ListPlayer("embedded")
    try:
        wrong = [s for s in list_replies([TAXI], wrong=True) if not s.right]
        assert not [o for s in wrong if (o := listener.hear(s, "flite:slt")).accepted]
    finally:
        listener.close()
