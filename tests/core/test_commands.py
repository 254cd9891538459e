"""Spoken control: what is understood, and what never is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.app.checklist_files import load_checklist
from callout.app.command_tables import default_commands
from callout.app.tables import default_tables
from callout.core.commands import Command, Found, find, find_answer, find_command, plain
from callout.core.expectation import Expectation, phrase
from callout.core.journal_records import Replied
from callout.core.judging.judge import judge
from callout.core.verdict import Verdict
from tests.core.session_kit import Desk, item, plan

TABLE = default_commands()
LISTS = Path(__file__).parents[2] / "checklists"


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("say again", Found(Command.SAY_AGAIN)),
        ("Say again, please.", Found(Command.SAY_AGAIN)),
        ("er, hold", Found(Command.HOLD)),
        ("What's left?", Found(Command.WHAT_IS_LEFT)),
        ("what\N{RIGHT SINGLE QUOTATION MARK}s left", Found(Command.WHAT_IS_LEFT)),
        ("skip", Found(Command.SKIP)),
        ("skip, inoperative", Found(Command.SKIP, "inoperative")),
        ("skip this item because the lamp is broken", Found(Command.SKIP, "the lamp is broken")),
        ("come back to that", Found(Command.DEFER)),
        ("defer until fuelling is complete", Found(Command.DEFER, "until fuelling is complete")),
        ("stop talking", Found(Command.QUIET)),
        ("stop", Found(Command.STOP)),
    ],
)
def test_commands_are_understood(words: str, found: Found) -> None:
    assert find(words, TABLE) == found


@pytest.mark.parametrize(
    "words",
    ["", "please", "on", "off", "holding", "do not skip", "no hold", "hold on", "say", "stopped",
     "the flaps stop at five", "continuous", "left", "not stop"],
)  # fmt: skip
def test_near_words_are_no_commands(words: str) -> None:
    assert find_command(words, TABLE) is None


def test_every_command_has_several_ways_to_say_it_and_a_key() -> None:
    assert [entry.command for entry in TABLE.entries] == list(Command)
    for entry in TABLE.entries:
        assert len(entry.phrases) >= 3
        assert entry.keys
        for words in entry.phrases:
            assert find_command(words, TABLE) is entry.command


def test_no_key_means_two_things_but_the_toggles() -> None:
    keys = [key for entry in TABLE.entries for key in entry.keys]
    shared = {key for key in keys if keys.count(key) > 1}
    assert shared == {"space", "f9", "*"}


def test_answers_to_questions_are_whole_words() -> None:
    assert find_answer("yes please", TABLE, ("yes", "no")) == "yes"
    assert find_answer("negative", TABLE, ("yes", "no")) == "no"
    assert find_answer("yes", TABLE, ("leave-open", "take-now")) is None
    assert find_answer("leave them open", TABLE, ("leave-open", "take-now")) == "leave-open"
    assert find_answer("do not leave them open", TABLE, ("leave-open",)) is None


def shipped_items() -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """Yield each item's place, its right replies and those named as wrong."""
    for path in sorted(LISTS.rglob("*.yaml")):
        if path.name == "flight.yaml" or "overlays" in path.parts:
            continue
        for entry in load_checklist(path).items:
            right = tuple(r.text for r in entry.responses)
            yield f"{path.stem}:{entry.id}", right, tuple(w.response.text for w in entry.wrong)


def test_no_command_is_taken_for_a_reply_of_a_shipped_list() -> None:
    tables = default_tables()
    replies = {text for _, right, wrong in shipped_items() for text in (*right, *wrong)}
    assert len(replies) > 40
    for reply in replies:
        expected = Expectation(accepted=(phrase(reply),))
        for words in TABLE.phrases():
            taken = judge(words, expected, tables).verdict is Verdict.MATCH
            assert not taken or words == reply, (words, reply)


def test_a_reply_that_is_also_a_command_is_a_reply_at_its_own_item() -> None:
    """A list may want "stop" for an answer, or name "continue" as wrong: there it is one."""
    shared = 0
    for place, right, wrong in shipped_items():
        for reply in (*right, *wrong):
            if find_command(reply, TABLE) is None:
                continue
            shared += 1
            desk = Desk(plan(items=(item("one", "One", *right, wrong=wrong),))).start()
            desk.say(reply)
            judged = [x.verdict for x in desk.records if isinstance(x, Replied)]
            assert judged == [Verdict.MATCH if reply in right else Verdict.MISMATCH], place
    assert shared < 5, "words of control should be rare as replies"


@given(st.text(max_size=40))
def test_any_text_is_looked_at_without_error(words: str) -> None:
    found = find(words, TABLE)
    if found:
        assert plain(words)
        assert find(f"please {words}", TABLE) == found
