"""A document as texts, lists and tables that know the line they were written on.

Every scalar stays the text a person wrote: "005" is not 5 and "on" is not true.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Scalar:
    """One word, number or sentence, as written."""

    text: str
    line: int = 1
    """1 first."""


@dataclass(frozen=True, slots=True)
class Listing:
    """A list of nodes."""

    entries: tuple[Node, ...]
    line: int = 1
    """1 first."""


@dataclass(frozen=True, slots=True)
class Table:
    """Keys with their nodes, in written order; no key occurs twice."""

    entries: tuple[tuple[Scalar, Node], ...]
    line: int = 1
    """1 first."""

    def get(self, key: str) -> Node | None:
        """Return the node under ``key``, or None."""
        return next((node for name, node in self.entries if name.text == key), None)


Node = Scalar | Listing | Table


def from_plain(value: Any, line: int = 1) -> Node:
    """Return ``value`` (dict, list, text, number, bool or None) as nodes of one line."""
    if isinstance(value, Mapping):
        pairs = ((Scalar(str(key), line), from_plain(v, line)) for key, v in value.items())
        return Table(tuple(pairs), line)
    if isinstance(value, list | tuple):
        return Listing(tuple(from_plain(v, line) for v in value), line)
    if isinstance(value, bool):
        return Scalar("yes" if value else "no", line)
    return Scalar("" if value is None else str(value), line)


def to_plain(node: Node) -> Any:
    """Return nodes as dict, list and str, without lines."""
    if isinstance(node, Table):
        return {key.text: to_plain(value) for key, value in node.entries}
    if isinstance(node, Listing):
        return [to_plain(entry) for entry in node.entries]
    return node.text
