"""Typed replies for the judge: from options or JSON lines to expectations, and back to lines."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, TextIO

from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.model.expectation import Answer, Expectation, Part, Value, WrongReply
from callout.core.model.verdict import Judgement
from callout.core.sentences import files as sentences
from callout.errors import CalloutError

_TEXTS = ("expect", "against", "wrong", "previous", "following", "other_unit")
_FLAGS = ("actual_status", "as_required")
_LONGEST_LINE = 100_000
LABELS = ("match", "mismatch", "unclear", "refuse")
"""Allowed labels of a pair; "refuse" is mismatch or unclear."""


_PLAIN_LABELS = {"True": "match", "False": "refuse"}


class BatchInvalid(CalloutError):
    """A file of replies that cannot be used."""


@dataclass(frozen=True, slots=True)
class TypedQuestion:
    """One reply, and everything known about what it should be."""

    reply: str
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    flags: frozenset[str] = frozenset()
    challenge: str = ""
    tolerance: Decimal = Decimal(0)
    """Largest accepted difference of a number, in its own unit."""

    @classmethod
    def from_options(cls, reply: str, options: Mapping[str, Any]) -> TypedQuestion:
        """Return the question asked by command-line options."""
        return cls(
            reply,
            {name: tuple(options.get(name) or ()) for name in _TEXTS},
            frozenset(name for name in _FLAGS if options.get(name)),
            str(options.get("challenge") or ""),
            options.get("tolerance") or Decimal(0),
        )


def judge_question(question: TypedQuestion) -> Judgement:
    """Judge one reply with the shipped tables."""
    return judge_reply(question.reply, expectation_of(question), default_tables())


def expectation_of(question: TypedQuestion) -> Expectation:
    """Return the expectation a question describes."""
    texts = question.texts
    return Expectation(
        accepted=tuple(_answer_of(t, texts, question.tolerance) for t in texts.get("expect", ())),
        wrong=(*(_wrong_reply(t) for t in texts.get("wrong", ())), *_phrases_against(texts)),
        challenge=question.challenge,
        actual_status="actual_status" in question.flags,
        as_required_with_status="as_required" in question.flags,
        previous=tuple(_answer_of(t, {}) for t in texts.get("previous", ())),
        following=tuple(_answer_of(t, {}) for t in texts.get("following", ())),
    )


def _phrases_against(texts: Mapping[str, tuple[str, ...]]) -> Iterator[WrongReply]:
    """Phrases given as wrong ("off|up") are wrong replies, unless also expected."""
    expected = {t.strip().casefold() for t in texts.get("expect", ())}
    for text in texts.get("against", ()):
        for phrase in text.split("|"):
            if phrase.strip() and phrase.strip().casefold() not in expected:
                yield WrongReply(parse_answer(phrase.strip(), default_tables()))


def _answer_of(
    text: str, texts: Mapping[str, tuple[str, ...]], tolerance: Decimal = Decimal(0)
) -> Answer:
    answer = parse_answer(text, default_tables())
    others = texts.get("other_unit", ())

    def widened(part: Part) -> Part:
        if not isinstance(part, Value) or not (others or tolerance):
            return part
        return replace(part, other_units=others, tolerance=tolerance)

    return Answer(tuple(map(widened, answer.parts)), answer.text)


def _wrong_reply(text: str) -> WrongReply:
    said, _, because = text.partition(": ")
    return WrongReply(parse_answer(said, default_tables()), because)


def judged_line(question: TypedQuestion, why: bool = False) -> dict[str, Any]:
    """Return the printed result for one reply."""
    found = judge_question(question)
    line: dict[str, Any] = {
        "verdict": found.verdict.value,
        "reply": found.reply,
        "reason": found.reason,
        "code": found.code,
        "heard": question.reply,
    }
    if why:
        line |= {"words": list(found.words), "why": list(found.trace)}
    return line


def json_line(question: TypedQuestion, why: bool = False) -> str:
    """Return the printed result for one reply as one line of JSON."""
    line = judged_line(question, why)
    readable = json.dumps(line, ensure_ascii=False)
    broken = any("\ud800" <= c <= "\udfff" for c in readable)  # a lone surrogate cannot be printed
    return json.dumps(line) if broken else readable


def questions_in(path: Path) -> Iterator[TypedQuestion]:
    """Yield the questions in a file of JSON lines; the first bad line ends it with an error."""
    for where, line in _numbered_lines(path):
        yield question_from(line, where)


def _numbered_lines(path: Path) -> Iterator[tuple[str, str]]:
    """Yield (file and line number, text) for each line that is not empty."""
    try:
        with _opened_text(path) as lines:
            for number, line in enumerate(lines, start=1):
                if line.strip():
                    yield f"{path}, line {number}", line
    except OSError as error:
        raise BatchInvalid(
            sentences.file_cannot_be_read(path, (error.strerror or str(error)).lower()),
            sentences.TEXT_FILE_HINT,
        ) from error
    except UnicodeDecodeError as error:
        raise BatchInvalid(sentences.not_utf8(path), sentences.NOT_UTF8_HINT) from error


def _opened_text(path: Path) -> AbstractContextManager[TextIO]:
    if str(path) == "-":
        return nullcontext(sys.stdin)
    return path.open(encoding="utf-8-sig")


def labelled_in(path: Path) -> Iterator[tuple[dict[str, str], TypedQuestion]]:
    """Yield (family and label, question) for each line of a labelled file."""
    for where, line in _numbered_lines(path):
        question = question_from(line, where)
        data = json.loads(line)
        label = _PLAIN_LABELS.get(str(data.get("ok")), data.get("label"))
        if label not in LABELS:
            raise BatchInvalid(
                sentences.label_must_be_one_of(where, ", ".join(LABELS)),
                sentences.CORRECT_LINE,
            )
        yield {"family": str(data.get("family", "")), "label": label}, question


def question_from(line: str, where: str) -> TypedQuestion:
    """Return the question in one JSON line; where: file and line for errors."""
    hint = sentences.PAIR_HINT
    try:
        if len(line) > _LONGEST_LINE:
            raise BatchInvalid(sentences.line_too_long(where), hint)
        data = json.loads(line)
    except (ValueError, RecursionError) as error:  # also a number of thousands of digits
        raise BatchInvalid(sentences.not_json(where), hint) from error
    if not isinstance(data, dict) or not isinstance(data.get("reply"), str):
        raise BatchInvalid(sentences.no_reply_text(where), hint)
    texts = {name: _read_texts(data.get(name, ()), name, where) for name in _TEXTS}
    if not texts["expect"]:
        raise BatchInvalid(sentences.no_expectation(where), hint)
    flags = frozenset(name for name in _FLAGS if data.get(name) is True)
    tolerance = _read_tolerance(data.get("tolerance", 0), where)
    return TypedQuestion(data["reply"], texts, flags, str(data.get("challenge") or ""), tolerance)


def _read_tolerance(value: object, where: str) -> Decimal:
    try:
        amount = Decimal(str(value))
    except InvalidOperation:
        amount = Decimal(-1)
    if not amount.is_finite() or amount < 0:
        raise BatchInvalid(sentences.tolerance_not_a_number(where), sentences.TOLERANCE_HINT)
    return amount


def _read_texts(value: object, name: str, where: str) -> tuple[str, ...]:
    if isinstance(value, str):
        return (value,)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return (str(value),)
    if isinstance(value, list | tuple):
        return tuple(t for one in value for t in _read_texts(one, name, where))
    raise BatchInvalid(sentences.not_text(where, name), sentences.QUOTES_HINT)
