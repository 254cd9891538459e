"""``callout bench sentences``: every sentence a person may see, to read in one go."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import click

import callout

ROOT = Path(callout.__file__).parent
FOR_PROGRAMMERS = {"AssertionError", "NotImplementedError", "TypeError", "ValueError"}
WORDS_OF_A_SENTENCE = 2


def text_of(node: ast.AST) -> str | None:
    """Return a text as written, with expressions in braces; None if the node is not a text."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(_part(part) for part in node.values)
    return None


def _part(part: ast.expr) -> str:
    if isinstance(part, ast.FormattedValue):
        return "{" + ast.unparse(part.value) + "}"
    return str(part.value) if isinstance(part, ast.Constant) else ""


def texts_in(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and text of everything that is neither a docstring nor for programmers."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue
        if isinstance(child, ast.Call) and ast.unparse(child.func) in FOR_PROGRAMMERS:
            continue
        found = text_of(child)
        if found is None:
            yield from texts_in(child)
        else:
            yield getattr(child, "lineno", 0), found


def is_sentence(text: str) -> bool:
    """Say whether a text begins and ends like a sentence; SQL queries do not count."""
    words = re.findall(r"[A-Za-z][A-Za-z'-]+", re.sub(r"\{[^{}]*\}", "", text))
    ends = text.strip().endswith((".", "?", "!"))
    begins = text.strip()[:1].isupper() or text.strip()[:1] == "{"
    return ends and begins and len(words) >= WORDS_OF_A_SENTENCE and words[0] != "SELECT"


def sentences_in(path: Path) -> list[tuple[int, str]]:
    """Return line and text of each sentence in a module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [(line, text) for line, text in texts_in(tree) if is_sentence(text)]


def helps_in(path: Path) -> list[tuple[int, str]]:
    """Return line and text of what ``--help`` shows for each command in a module."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef) and any(map(_is_command, node.decorator_list)):
            found.append((node.lineno, " ".join((ast.get_docstring(node) or "").split())))
    return found


def _is_command(decorator: ast.expr) -> bool:
    called = decorator.func if isinstance(decorator, ast.Call) else decorator
    return isinstance(called, ast.Attribute) and called.attr in ("command", "group")


class _Shown(HTMLParser):
    """Collects the visible text of a page with its line, without scripts and styles."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, str]] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in ("script", "style")
        for name, value in attrs:
            if name in ("aria-label", "placeholder", "title", "alt") and value:
                self.found.append((self.getpos()[0], value))

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self._silent and re.search(r"[A-Za-z]{2}", data):
            self.found.append((self.getpos()[0], " ".join(data.split())))


def _scripted(text: str) -> list[tuple[int, str]]:
    lines = enumerate(text.splitlines(), 1)
    quoted = ((n, q) for n, line in lines for _, q in re.findall(r"""(["'`])(.+?)\1""", line))
    return [(number, text) for number, text in quoted if is_sentence(text)]


def shown_by(path: Path) -> list[tuple[int, str]]:
    """Return line and text of what a module, a page or a page's script shows."""
    if path.suffix == ".py":
        return sorted(sentences_in(path) + helps_in(path))
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".js":
        return _scripted(text)
    page = _Shown()
    page.feed(text)
    return page.found


@click.command("sentences")
@click.argument("rooms", nargs=-1)
def command(rooms: tuple[str, ...]) -> None:
    """Print every sentence for people, with file and line; ROOMS: folders such as core/lint."""
    folders = [ROOT / room for room in rooms] or [ROOT]
    files = [p for f in folders for s in ("py", "html", "js") for p in sorted(f.rglob(f"*.{s}"))]
    for path in files:
        found = shown_by(path)
        if found:
            click.echo(f"\n{path.relative_to(ROOT)}")
        for line, text in found:
            click.echo(f"{line:5d}  {' '.join(text.split())}")
