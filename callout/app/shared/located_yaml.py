"""YAML text to located nodes: safe, bounded, and without guessing types.

Built on the parser's events, so nothing is constructed, resolved or expanded: ``on`` stays a word,
``005`` keeps its zeros, and a hostile file is refused at the first event beyond a limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml

from callout.core.model.located import Listing, Node, Scalar, Table
from callout.core.model.problems import FileProblems, Problem
from callout.core.sentences import list_format as sentences

try:
    from yaml import CSafeLoader as _SafeLoader
except ImportError:  # PyYAML built without libyaml
    from yaml import SafeLoader as _SafeLoader  # type: ignore[assignment]

MAX_DEPTH = 12
MAX_NODES = 50_000


class LocatedLoader(_SafeLoader):
    """A safe loader used for its events only."""


def parse_yaml(text: str, file: str) -> Node:
    """Return the one document in ``text``; raise FileProblems naming ``file`` and the line."""
    return _Reader(text, file).document()


class _Reader:
    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.text = text
        self.nodes = 0
        self.events = self._events()

    def document(self) -> Node:
        """Read everything up to the end of the stream."""
        node: Node | None = None
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent) and node is not None:
                hint = sentences.ONE_LIST_HINT
                raise self._fault(event, "a second document begins here.", hint)
            if isinstance(event, yaml.NodeEvent):
                node = self._node(event, 0)
        if node is None or (isinstance(node, Scalar) and not node.text.strip()):
            raise self._fault(None, "the file is empty.", sentences.EMPTY_FILE_HINT)
        return node

    def _events(self) -> Iterator[Any]:
        try:
            yield from yaml.parse(self.text, Loader=LocatedLoader)
        except yaml.MarkedYAMLError as error:
            raise self._syntax(error) from error
        except (yaml.YAMLError, ValueError, RecursionError) as error:
            hint = sentences.NOT_TEXT_HINT
            raise self._fault(None, "a character here cannot be read.", hint) from error

    def _node(self, event: Any, depth: int) -> Node:
        self._check(event, depth)
        line = event.start_mark.line + 1
        if isinstance(event, yaml.ScalarEvent):
            return Scalar(event.value, line)
        if isinstance(event, yaml.SequenceStartEvent):
            return Listing(tuple(self._entries(depth)), line)
        return Table(tuple(self._pairs(depth)), line)

    def _entries(self, depth: int) -> Iterator[Node]:
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                return
            yield self._node(event, depth + 1)

    def _pairs(self, depth: int) -> Iterator[tuple[Scalar, Node]]:
        seen: dict[str, int] = {}
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                return
            key = self._node(event, depth + 1)
            if not isinstance(key, Scalar):
                hint = sentences.QUOTE_BRACES
                raise self._fault(event, "a key must be a word.", hint)
            if key.text in seen:
                said = f'"{key.text}" is already given on line {seen[key.text]}.'
                raise self._fault(event, said, sentences.KEY_TWICE_HINT)
            seen[key.text] = key.line
            yield key, self._node(next(self.events), depth + 1)

    def _check(self, event: Any, depth: int) -> None:
        self.nodes += 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            hint = sentences.QUOTE_REFERENCES
            raise self._fault(event, "anchors (&) and aliases (*) are not allowed.", hint)
        if event.tag:
            hint = sentences.QUOTE_EXCLAMATION_MARK
            raise self._fault(event, "tags (!) are not allowed.", hint)
        if depth > MAX_DEPTH:
            raise self._fault(
                event, f"more than {MAX_DEPTH} levels are nested.", sentences.TOO_DEEP_HINT
            )
        if self.nodes > MAX_NODES:
            raise self._fault(event, f"more than {MAX_NODES} entries.", sentences.TOO_LONG_HINT)

    def _syntax(self, error: yaml.MarkedYAMLError) -> FileProblems:
        mark = error.problem_mark or error.context_mark
        line = mark.line if mark else 0
        lines = self.text.splitlines()
        near = lines[max(0, line - 1) : line + 1]
        tab = next((i for i, s in enumerate(near, max(0, line - 1)) if _tab_indented(s)), None)
        if tab is not None:
            return self._at(tab + 1, "a tab is used to indent.", sentences.TABS_HINT)
        problem = error.problem or error.context or "not valid YAML"
        return self._at(line + 1, f"this is not valid YAML: {problem}.", _syntax_hint(problem))

    def _fault(self, event: Any, message: str, hint: str) -> FileProblems:
        return self._at(event.start_mark.line + 1 if event else 1, message, hint)

    def _at(self, line: int, message: str, hint: str) -> FileProblems:
        return FileProblems([Problem(self.file, line, message, hint)])


def _tab_indented(line: str) -> bool:
    return "\t" in line[: len(line) - len(line.lstrip())]


def _syntax_hint(problem: str) -> str:
    if "mapping values" in problem:
        return sentences.QUOTE_COLON_AND_SPACE
    if "cannot start any token" in problem:
        return sentences.QUOTE_RESERVED_SIGNS
    if "quoted scalar" in problem or "end of stream" in problem:
        return sentences.OPEN_QUOTES_HINT
    return sentences.SYNTAX_HINT
