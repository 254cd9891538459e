"""Decides what an utterance is at an item: the one rule of sessions, drills, ``callout hear``,
``callout check --by-ear`` and every measurement.

A reply that the item lists, right or wrong, is a reply whatever else it may mean; commands come
next. Unless the recogniser is sure, nothing is matched, mismatched or obeyed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from callout.core.judging.judge import judge_reply
from callout.core.language.reasons import Reason
from callout.core.language.tables import Tables
from callout.core.model.commands import CommandTable, Found, match_command
from callout.core.model.expectation import Expectation
from callout.core.model.heard import Heard
from callout.core.model.utterance import ReplySource, Utterance, spoken_utterance
from callout.core.model.verdict import Judgement, Verdict
from callout.core.sentences import judging as sentences
from callout.core.understanding.listed_replies import is_listed

NOT_SURE = "not-sure"
COMMAND = "command"
UNRELATED = "unrelated"
REMARK_WORDS = 4
"""Words; shorter unrelated speech may be a reply garbled by noise, so it is asked again."""

DOUBTS = frozenset(
    reason.value
    for reason in (
        Reason.QUESTION,
        Reason.HEDGE,
        Reason.ACKNOWLEDGED,
        Reason.ORDERED,
        Reason.CONTRADICTORY,
        Reason.NAMED_WRONG,
        Reason.OPPOSITE,
        Reason.NEGATED,
        Reason.SIDES,
    )
)
"""Meanings of a longer transcript that overrule a right reply."""
FEWEST_WORDS = 2
"""Words; a transcript of one word is too often a homophone."""
FAINT = frozenset(("if", "or"))
"""Hedges so short that recognisers write them for half a sound ("if the onyx master" for "avionics
master"): they count only if the transcript contains the reply itself.
"""

_UNSURE = sentences.NOT_SURE
_NO_WORDS = sentences.SOUND_WITHOUT_WORDS


@dataclass(frozen=True, slots=True)
class Weighed:
    """What an utterance is at an item."""

    judged: Judgement
    """The verdict if it is a reply; unclear if the recogniser is not sure."""
    listed: bool = False
    """True: the item lists these words, so they are a reply whatever else they may mean."""
    command: Found | None = None
    """The spoken command; None for a reply that the item lists."""
    remark: bool = False
    """True: talk that was not meant as a reply."""


def weigh_utterance(
    said: Utterance,
    expectation: Expectation,
    judging: Callable[[str], Judgement],
    commands: CommandTable,
) -> Weighed:
    """Decide what ``said`` is at an item. judging: returns the verdict on words at that item."""
    if not said.sure:
        words = said.transcript or said.text
        remark = bool(words.strip()) and is_remark(words, judging(words))
        reason = _UNSURE if words.strip() else _NO_WORDS
        return Weighed(Judgement(Verdict.UNCLEAR, NOT_SURE, reason), remark=remark)
    judged = judging(said.text)
    if judged.verdict is Verdict.MATCH and _gainsaid(said, judging):
        return Weighed(Judgement(Verdict.UNCLEAR, NOT_SURE, _UNSURE))
    listed = is_listed(expectation, said.text, judged)
    return Weighed(judged, listed, None if listed else command_in(said, commands))


def _gainsaid(said: Utterance, judging: Callable[[str], Judgement]) -> bool:
    """Say whether the transcript contradicts the reply that the engine chose."""
    if said.misread:
        return False
    words = said.transcript.split()
    if said.text.casefold() not in said.transcript.casefold():
        words = [word for word in words if word.casefold() not in FAINT]
    voice = said.source is ReplySource.VOICE
    return voice and len(words) >= FEWEST_WORDS and judging(" ".join(words)).code in DOUBTS


def command_in(said: Utterance, commands: CommandTable) -> Found | None:
    """Return the spoken command in ``said``, with the words that follow it."""
    found = match_command(said.text, commands)
    whole = match_command(said.transcript, commands) if found else None
    same = whole and found and whole.command is found.command
    return whole if same and whole and whole.rest else found


def judge_heard(
    heard: Heard, expectation: Expectation, tables: Tables, commands: CommandTable
) -> Judgement:
    """Return the verdict on what was heard; anything that is not a reply is unclear, with its own
    code.
    """
    weighed = weigh_utterance(
        spoken_utterance(heard),
        expectation,
        lambda w: judge_reply(w, expectation, tables),
        commands,
    )
    if weighed.remark:
        said = sentences.NOT_A_REPLY
        return Judgement(Verdict.UNCLEAR, UNRELATED, said)
    if weighed.command:
        said = sentences.was_a_command(heard.text)
        return Judgement(Verdict.UNCLEAR, COMMAND, said, None, weighed.judged.words)
    return weighed.judged


def is_remark(words: str, judged: Judgement) -> bool:
    """Say whether an unsure transcript is a side remark rather than a reply that was not
    understood.
    """
    return judged.code == UNRELATED and len(words.split()) >= REMARK_WORDS
