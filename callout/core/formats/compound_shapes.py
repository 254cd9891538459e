"""Shapes of lists and tables, built from the shapes of single values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from callout.core.model.located import Listing, Node, Scalar, Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import (
    BAD,
    Schema,
    Shape,
    Text,
    closest_choice,
    did_you_mean,
    last_key,
    short_text,
)
from callout.core.sentences import list_format as sentences

DASH: Final = sentences.ENTRIES_HINT


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of one kind of thing, read as a tuple."""

    shape: Shape
    noun: str
    lone: bool = False
    """True: a single entry may be written without the list."""
    least: int = 1
    """Fewest entries."""
    most: int = 200
    """Most entries."""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        if self.lone and not isinstance(node, Listing):
            value = self.shape.read(node, path, report)
            return BAD if value is BAD else (value,)
        if not isinstance(node, Listing):
            report.add(node.line, path, sentences.must_be_list_of(last_key(path), self.noun), DASH)
            return BAD
        if not self.least <= len(node.entries) <= self.most:
            limits = f"from {self.least} to {self.most} {self.noun}"
            fault = sentences.must_hold(last_key(path), limits, len(node.entries))
            report.add(node.line, path, fault, sentences.COUNT_HINT)
            return BAD
        values = [self.shape.read(e, f"{path}[{i}]", report) for i, e in enumerate(node.entries)]
        return BAD if BAD in values else tuple(values)

    def schema(self, defs: dict[str, Schema]) -> Schema:
        one = self.shape.schema(defs)
        many = {"type": "array", "items": one, "minItems": self.least, "maxItems": self.most}
        return {"anyOf": [one, many]} if self.lone else many


@dataclass(frozen=True, slots=True)
class MapOf:
    """Free names with one kind of value, read as a dict."""

    shape: Shape
    key: Text
    noun: str

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        if not isinstance(node, Table):
            hint = sentences.NAMED_VALUES_HINT
            report.add(
                node.line, path, sentences.must_hold_one_a_line(last_key(path), self.noun), hint
            )
            return BAD
        pairs = [
            (
                self.key.read(name, path, report),
                self.shape.read(value, _path_under(path, name), report),
            )
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
class RecordShape:
    """A table with known keys, handed to ``build`` once every key has been read."""

    name: str
    """With its article: "an item"."""
    keys: Mapping[str, Key]
    build: Callable[[dict[str, Any], Table, str, ProblemReport], Any]
    shorthand: str = ""
    """The key that a plain text is read into; empty: a plain text is refused."""
    either: tuple[str, ...] = ()
    """Keys of which exactly one is required; ``build`` reports it in words."""

    def read(self, node: Node, path: str, report: ProblemReport) -> Any:
        if self.shorthand and isinstance(node, Scalar):
            return self._short(node, path, report)
        if not isinstance(node, Table):
            report.add(node.line, path, sentences.must_be_keys(self.name), self._example())
            return BAD
        before = len(report.problems)
        values = {n.text: self._value(n, v, path, report) for n, v in node.entries}
        mistyped = {closest_choice(name, self.keys) for name in values if name not in self.keys}
        for key, spec in self.keys.items():
            if spec.required and key not in values and key not in mistyped:
                hint = f"Add `{key}:` - {spec.about}."
                report.add(node.line, path, sentences.has_no_key(self.name, key), hint)
        if len(report.problems) > before:
            return BAD
        return self.build(values, node, path, report)

    def _short(self, node: Scalar, path: str, report: ProblemReport) -> Any:
        value = self.keys[self.shorthand].shape.read(node, path, report)
        if value is BAD:
            return BAD
        table = Table(((Scalar(self.shorthand, node.line), node),), node.line)
        return self.build({self.shorthand: value}, table, path, report)

    def _value(self, name: Scalar, node: Node, path: str, report: ProblemReport) -> Any:
        if name.text in self.keys:
            return self.keys[name.text].shape.read(node, _path_under(path, name), report)
        hint = did_you_mean(name.text, self.keys) or sentences.known_keys(", ".join(self.keys))
        if isinstance(node, Scalar) and not node.text:
            hint = sentences.BRACES_HINT
        report.add(name.line, path, f'"{short_text(name.text)}" is not a key of {self.name}.', hint)
        return BAD

    def _example(self) -> str:
        required = [key for key, spec in self.keys.items() if spec.required]
        return sentences.write_key(required[0] if required else next(iter(self.keys)))

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
        one = {"oneOf": [{"required": [key]} for key in self.either]} if self.either else {}
        return {
            **one,
            "type": "object",
            "properties": {
                key: {"description": spec.about, **spec.shape.schema(defs)}
                for key, spec in self.keys.items()
            },
            "required": [key for key, spec in self.keys.items() if spec.required],
            "additionalProperties": False,
        }


def _path_under(path: str, name: Scalar) -> str:
    return f"{path}.{name.text}" if path else name.text
