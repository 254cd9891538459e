"""Shapes of a document: each reads nodes into values and describes itself as JSON Schema.

Reading and the published schema come from one declaration, so they cannot drift apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import Enum
from typing import Any, Final, Protocol

from rapidfuzz import process

from callout.core.located import Listing, Node, Scalar, Table
from callout.core.problems import Report

BAD: Final[Any] = object()
"""Stands for a value that could not be read; the report says why."""

Schema = dict[str, Any]

_YES = frozenset({"yes", "true"})
_NO = frozenset({"no", "false"})
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff]")


class Shape(Protocol):
    """A kind of node."""

    def read(self, node: Node, path: str, report: Report) -> Any:
        """Return the value of ``node``, or BAD after adding a problem to ``report``."""

    def schema(self, defs: dict[str, Schema]) -> Schema:
        """Return JSON Schema 2020-12; named parts are put into ``defs``."""


@dataclass(frozen=True, slots=True)
class Text:
    """Words on one line."""

    max_length: int = 200
    pattern: str = ""
    """Regular expression (anchored) or empty."""
    means: str = ""
    """What the pattern asks for, to end "must be ..."."""
    parse: Callable[[str], Any] | None = None
    """Turns the text into a value; a ValueError's text becomes the problem."""
    hint: str = ""

    def read(self, node: Node, path: str, report: Report) -> Any:
        text = _scalar(node, path, report)
        if text is BAD:
            return BAD
        fault = self._fault(text)
        if fault:
            report.add(node.line, path, f"{_last(path)} {fault}.", self.hint)
            return BAD
        return self._parsed(text, node, path, report) if self.parse else text

    def _fault(self, text: str) -> str:
        if not text:
            return "is empty"
        if len(text) > self.max_length:
            return f"is longer than {self.max_length} characters"
        if _CONTROL.search(text):
            return "contains a character that cannot be shown"
        if self.pattern and not re.fullmatch(self.pattern, text):
            return f'must be {self.means}, not "{_short(text)}"'
        return ""

    def _parsed(self, text: str, node: Node, path: str, report: Report) -> Any:
        assert self.parse is not None
        try:
            return self.parse(text)
        except ValueError as error:
            report.add(node.line, path, f"{_last(path)}: {error}.", self.hint)
            return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        text: Schema = {"type": "string", "minLength": 1, "maxLength": self.max_length}
        if self.pattern:
            text["pattern"] = f"^(?:{self.pattern})$"
            return text
        return {"anyOf": [text, {"type": "number"}]}


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no."""

    unknown: bool = False
    """True: "unknown" is a third choice, read as None."""

    def read(self, node: Node, path: str, report: Report) -> Any:
        text = _scalar(node, path, report)
        if text is BAD:
            return BAD
        if text.casefold() in _YES | _NO:
            return text.casefold() in _YES
        if self.unknown and text.casefold() == "unknown":
            return None
        choices = "yes, no or unknown" if self.unknown else "yes or no"
        report.add(node.line, path, f'{_last(path)} must be {choices}, not "{_short(text)}".')
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        words = ["yes", "no", "true", "false"] + (["unknown"] if self.unknown else [])
        return {"enum": [True, False, *words]}


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a closed set."""

    of: type[Enum]

    def read(self, node: Node, path: str, report: Report) -> Any:
        text = _scalar(node, path, report)
        if text is BAD:
            return BAD
        names = [str(member.value) for member in self.of]
        wanted = "-".join(text.casefold().replace("_", " ").replace("-", " ").split())
        if wanted in names:
            return self.of(wanted)
        hint = meant(wanted, names) or f"Choose from: {', '.join(names)}."
        report.add(node.line, path, f'"{_short(text)}" is not a {_last(path)}.', hint)
        return BAD

    def schema(self, defs: dict[str, Schema]) -> Schema:
        return {"enum": [member.value for member in self.of]}


@dataclass(frozen=True, slots=True)
class Amount:
    """A plain number within limits."""

    least: int = 0
    most: int = 1_000_000
    whole: bool = False

    def read(self, node: Node, path: str, report: Report) -> Any:
        text = _scalar(node, path, report)
        if text is BAD:
            return BAD
        number = _decimal(text)
        if number is None or not self.least <= number <= self.most or (self.whole and number % 1):
            kind = "a whole number" if self.whole else "a number"
            limits = f"{kind} from {self.least} to {self.most}"
            report.add(node.line, path, f'{_last(path)} must be {limits}, not "{_short(text)}".')
            return BAD
        return int(number) if self.whole else number

    def schema(self, defs: dict[str, Schema]) -> Schema:
        number: Schema = {"minimum": self.least, "maximum": self.most}
        return {"type": "integer" if self.whole else "number", **number}


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of one kind of thing, read as a tuple."""

    shape: Shape
    noun: str
    lone: bool = False
    """True: a single one may stand without the list."""
    least: int = 1
    most: int = 200

    def read(self, node: Node, path: str, report: Report) -> Any:
        if self.lone and not isinstance(node, Listing):
            value = self.shape.read(node, path, report)
            return BAD if value is BAD else (value,)
        if not isinstance(node, Listing):
            report.add(node.line, path, f"{_last(path)} must be a list of {self.noun}.", DASH)
            return BAD
        if not self.least <= len(node.entries) <= self.most:
            limits = f"from {self.least} to {self.most} {self.noun}"
            fault = f"{_last(path)} must hold {limits}; it holds {len(node.entries)}."
            report.add(node.line, path, fault)
            return BAD
        values = [self.shape.read(e, f"{path}[{i}]", report) for i, e in enumerate(node.entries)]
        return BAD if BAD in values else tuple(values)

    def schema(self, defs: dict[str, Schema]) -> Schema:
        one = self.shape.schema(defs)
        many = {"type": "array", "items": one, "minItems": self.least, "maxItems": self.most}
        return {"anyOf": [one, many]} if self.lone else many


DASH: Final = "Write each entry on its own line, beginning with a dash and a space."


@dataclass(frozen=True, slots=True)
class MapOf:
    """Free names with one kind of value, read as a dict."""

    shape: Shape
    key: Text
    noun: str

    def read(self, node: Node, path: str, report: Report) -> Any:
        if not isinstance(node, Table):
            report.add(node.line, path, f"{_last(path)} must hold {self.noun}, one a line.")
            return BAD
        pairs = [
            (self.key.read(name, path, report), self.shape.read(value, _under(path, name), report))
            for name, value in node.entries
        ]
        return BAD if any(BAD in pair for pair in pairs) else dict(pairs)

    def schema(self, defs: dict[str, Schema]) -> Schema:
        return {
            "type": "object",
            "propertyNames": self.key.schema(defs),
            "additionalProperties": self.shape.schema(defs),
        }


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record."""

    shape: Shape
    about: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Record:
    """A table with known keys, handed to ``build`` once every key has been read."""

    name: str
    """With its article: "an item"."""
    keys: Mapping[str, Key]
    build: Callable[[dict[str, Any], Table, str, Report], Any]
    shorthand: str = ""
    """The key that a lone text stands for; empty: a text is refused."""

    def read(self, node: Node, path: str, report: Report) -> Any:
        if self.shorthand and isinstance(node, Scalar):
            node = Table(((Scalar(self.shorthand, node.line), node),), node.line)
        if not isinstance(node, Table):
            report.add(node.line, path, f"{self.name} must be keys with values.", self._example())
            return BAD
        before = len(report.problems)
        values = {n.text: self._value(n, v, path, report) for n, v in node.entries}
        for key, spec in self.keys.items():
            if spec.required and key not in values:
                hint = f"Add `{key}:` - {spec.about}."
                report.add(node.line, path, f"{self.name} has no {key}.", hint)
        if len(report.problems) > before:
            return BAD
        return self.build(values, node, path, report)

    def _value(self, name: Scalar, node: Node, path: str, report: Report) -> Any:
        if name.text in self.keys:
            return self.keys[name.text].shape.read(node, _under(path, name), report)
        hint = meant(name.text, self.keys) or f"Known keys: {', '.join(self.keys)}."
        report.add(name.line, path, f'"{_short(name.text)}" is not a key of {self.name}.', hint)
        return BAD

    def _example(self) -> str:
        required = [key for key, spec in self.keys.items() if spec.required]
        return f"Write for example `{required[0] if required else next(iter(self.keys))}: ...`."

    def schema(self, defs: dict[str, Schema]) -> Schema:
        name = self.name.split(" ", 1)[-1].replace(" ", "-")
        if name not in defs:
            defs[name] = {}
            defs[name] = self._object(defs)
        ref: Schema = {"$ref": f"#/$defs/{name}"}
        if not self.shorthand:
            return ref
        return {"anyOf": [self.keys[self.shorthand].shape.schema(defs), ref]}

    def _object(self, defs: dict[str, Schema]) -> Schema:
        return {
            "type": "object",
            "properties": {
                key: {"description": spec.about, **spec.shape.schema(defs)}
                for key, spec in self.keys.items()
            },
            "required": [key for key, spec in self.keys.items() if spec.required],
            "additionalProperties": False,
        }


def meant(word: str, choices: Any) -> str:
    """Return "Did you mean ...?" when ``word`` is close to a choice, else an empty text."""
    best = process.extractOne(word, list(choices), score_cutoff=60)
    return f'Did you mean "{best[0]}"?' if best else ""


def _scalar(node: Node, path: str, report: Report) -> Any:
    if isinstance(node, Scalar):
        return node.text.strip()
    what = "a list" if isinstance(node, Listing) else "keys with values"
    hint = "Put quotes around it if it holds braces, brackets or a colon."
    report.add(node.line, path, f"{_last(path)} must be a text; it is {what}.", hint)
    return BAD


def _decimal(text: str) -> Decimal | None:
    if len(text) > 30 or not re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", text):
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def _under(path: str, name: Scalar) -> str:
    return f"{path}.{name.text}" if path else name.text


def _last(path: str) -> str:
    return re.sub(r"\[\d+\]$", "", path).rsplit(".", 1)[-1] or "the file"


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:37]}..."
