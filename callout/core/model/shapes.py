"""Shapes of single values: each reads a node and describes itself as JSON Schema.

Reading and the published schema come from one declaration, so they cannot drift apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import Enum
from typing import Any, Final, Protocol

from rapidfuzz import fuzz, process

from callout.core.model.located import Listing, Node, Scalar
from callout.core.model.problems import ProblemReport
from callout.core.sentences import list_format as sentences
from callout.hidden import hidden_places

BAD: Final[Any] = object()
"""Marks a value that could not be read; the report says why."""

Schema = dict[str, Any]

_FLAGS: Final = {"yes": True, "true": True, "no": False, "false": False}
_GUESSED: Final = ("yes", "no", "on", "off", "true", "false", "null", "y", "n")
"""Words that other YAML tools read as another type; never used as names."""


class Shape(Protocol):
    """A kind of node."""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        """Return the value of ``node``, or BAD after adding a problem to ``report``."""

    def schema(self, defs: dict[str, Schema]) -> Schema:
        """Return JSON Schema 2020-12; named parts are put into ``defs``."""


@dataclass(frozen=True, slots=True)
class Text:
    """Words on one line."""

    max_length: int = 200
    """Characters."""
    pattern: str = ""
    """Regular expression (anchored) or empty."""
    means: str = ""
    """What the pattern requires, to complete "must be ..."."""
    parse: Callable[[str], Any] | None = None
    """Turns the text into a value; a ValueError's text becomes the problem."""
    hint: str = ""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        text = scalar_text(node, path, report)
        if text is BAD:
            return BAD
        fault, hint = self._fault(text)
        if fault:
            report.add(node.line, path, f"{last_key(path)} {fault}.", self.hint or hint)
            return BAD
        return self._parsed(text, node, path, report) if self.parse else text

    def _fault(self, text: str) -> tuple[str, str]:
        """Return what is wrong with ``text`` and how to fix it, or two empty texts."""
        if not text:
            return "is empty", sentences.EMPTY_VALUE_HINT
        if len(text) > self.max_length:
            return f"is longer than {self.max_length} characters", sentences.TOO_MANY_WORDS_HINT
        if hidden_places(text):
            return "contains a character that cannot be shown", sentences.UNUSUAL_CHARACTER_HINT
        if self.pattern and (text in _GUESSED or not re.fullmatch(self.pattern, text)):
            plain = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")
            usable = plain[:1].isalpha() and plain not in _GUESSED
            example = sentences.write_example(plain if usable else "fuel-pump")
            return f'must be {self.means}, not "{short_text(text)}"', example
        return "", ""

    def _parsed(self, text: str, node: Node, path: str, report: ProblemReport) -> Any:
        assert self.parse is not None
        try:
            return self.parse(text)
        except ValueError as error:
            report.add(node.line, path, f"{last_key(path)}: {error}.", self.hint)
            return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        text: Schema = {"type": "string", "minLength": 1, "maxLength": self.max_length}
        if self.pattern:
            return {**text, "pattern": f"^(?:{self.pattern})$", "not": {"enum": list(_GUESSED)}}
        return {"anyOf": [text, {"type": ["number", "boolean"]}]}


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no."""

    unknown: bool = False
    """True: "unknown" is a third choice, read as None."""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        text = scalar_text(node, path, report)
        if text is BAD:
            return BAD
        if text in _FLAGS:
            return _FLAGS[text]
        if self.unknown and text == "unknown":
            return None
        choices = "yes, no or unknown" if self.unknown else "yes or no"
        fault = sentences.must_be_not(last_key(path), choices, short_text(text))
        report.add(node.line, path, fault, sentences.write_yes_or_no(last_key(path)))
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        words = [*_FLAGS, "unknown"] if self.unknown else list(_FLAGS)
        return {"enum": [True, False, *words]}


@dataclass(frozen=True, slots=True)
class ChoiceShape:
    """One of a closed set."""

    of: type[Enum]

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        text = scalar_text(node, path, report)
        if text is BAD:
            return BAD
        names = [str(member.value) for member in self.of]
        if text in names:
            return self.of(text)
        hint = did_you_mean(text, names) or sentences.choose_from(", ".join(names))
        report.add(
            node.line, path, f'"{short_text(text)}" is not a choice for {last_key(path)}.', hint
        )
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        return {"enum": [member.value for member in self.of]}


@dataclass(frozen=True, slots=True)
class Amount:
    """A plain number within limits."""

    least: int = 0
    """Smallest number allowed."""
    most: int = 1_000_000
    """Largest number allowed."""
    whole: bool = False

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        text = scalar_text(node, path, report)
        if text is BAD:
            return BAD
        number = _parse_decimal(text)
        if number is None or not self.least <= number <= self.most or (self.whole and number % 1):
            kind = "a whole number" if self.whole else "a number"
            limits = f"{kind} from {self.least} to {self.most}"
            fault = sentences.must_be_not(last_key(path), limits, short_text(text))
            report.add(
                node.line, path, fault, sentences.write_example_value(last_key(path), self.least)
            )
            return BAD
        return int(number) if self.whole else number

    def schema(self, defs: dict[str, Schema]) -> Schema:
        number: Schema = {"minimum": self.least, "maximum": self.most}
        written = {"type": "string", "pattern": r"^-?[0-9]+(?:\.[0-9]+)?$"}
        return {"anyOf": [{"type": "integer" if self.whole else "number", **number}, written]}


@dataclass(frozen=True, slots=True)
class Version:
    """The version of the format a file is written in."""

    current: int
    """Version of the format that this program writes."""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        text = scalar_text(node, path, report)
        if text in (BAD, str(self.current)):
            return text
        fault = f'the format version is "{short_text(text)}"; version {self.current} is understood.'
        hint = sentences.write_version(last_key(path), self.current)
        report.add(node.line, path, fault, hint)
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        return {"const": self.current}


def closest_choice(word: str, choices: Iterable[str]) -> str:
    """Return the choice that ``word`` was probably meant to be, or an empty text."""
    best = process.extractOne(word, list(choices), scorer=fuzz.ratio, score_cutoff=60)
    return best[0] if best else ""


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """Return "Did you mean ...?" when ``word`` is close to a choice, else an empty text."""
    best = closest_choice(word, choices)
    return sentences.did_you_mean(best) if best else ""


def scalar_text(node: Node, path: str, report: ProblemReport) -> Any:
    """Return the text of ``node`` with single spaces, or BAD."""
    if isinstance(node, Scalar):
        return " ".join(node.text.split())
    what = "a list" if isinstance(node, Listing) else "keys with values"
    hint = sentences.QUOTE_SYMBOLS_HINT
    report.add(node.line, path, sentences.must_be_text(last_key(path), what), hint)
    return BAD


def _parse_decimal(text: str) -> Decimal | None:
    if len(text) > 30 or not re.fullmatch(r"-?[0-9]+(?:\.[0-9]+)?", text):
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def last_key(path: str) -> str:
    """Return the last key of ``path``."""
    return re.sub(r"\[\d+\]$", "", path).rsplit(".", 1)[-1] or "the file"


def short_text(text: str) -> str:
    """Return ``text`` shortened to fit in a sentence."""
    return text if len(text) <= 40 else f"{text[:37]}..."
