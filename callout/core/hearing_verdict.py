"""From one utterance to a verdict: the same rule for a session and for a recording."""

from __future__ import annotations

from callout.core.commands import CommandTable, find
from callout.core.expectation import Expectation
from callout.core.heard import Heard
from callout.core.judging.judge import judge
from callout.core.judging.tables import Tables
from callout.core.verdict import Judgement, Verdict

NOT_SURE = "not-sure"
COMMAND = "command"
UNRELATED = "unrelated"
REMARK_WORDS = 4
"""Unrelated speech of fewer words may be a reply that noise has garbled: it is asked again."""


def judge_heard(
    heard: Heard, expectation: Expectation, tables: Tables, commands: CommandTable
) -> Judgement:
    """Return the verdict on what was heard; without certainty it can only be unclear."""
    if not heard.sure:
        return _unsure(heard, expectation, tables)
    judged = judge(heard.text, expectation, tables)
    found = find(heard.text, commands)
    if found and judged.verdict is not Verdict.MATCH:
        said = f'That is the spoken command "{heard.text}".'
        return Judgement(Verdict.UNCLEAR, COMMAND, said, None, judged.words)
    return judged


def is_remark(words: str, judged: Judgement) -> bool:
    """Tell a side remark from a reply that was not understood, by an unsure transcript."""
    return judged.code == UNRELATED and len(words.split()) >= REMARK_WORDS


def _unsure(heard: Heard, expectation: Expectation, tables: Tables) -> Judgement:
    words = heard.transcript or heard.text
    if words.strip() and is_remark(words, judge(words, expectation, tables)):
        return Judgement(Verdict.UNCLEAR, UNRELATED, "Speech that is no reply to this item.")
    reason = "I am not sure what I heard." if words.strip() else "I heard no words."
    return Judgement(Verdict.UNCLEAR, NOT_SURE, reason)
