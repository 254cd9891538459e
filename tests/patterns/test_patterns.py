"""Every pattern of the program takes time in proportion to the text, whatever the text is."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import callout
from tests.patterns.steps import Matcher, growth

ROOT = Path(callout.__file__).parent
CALLS = {"compile", "search", "match", "fullmatch", "sub", "subn", "split", "findall", "finditer"}
LINEAR = 2.7
"""Between linear (2) and quadratic (4)."""


def text_of(node: ast.expr) -> str | bytes | None:
    """Return a pattern as far as it stands in the source; what is put in is one letter."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str | bytes):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = (text_of(part) for part in node.values)
        return "".join(part if isinstance(part, str) else "x" for part in parts)
    if isinstance(node, ast.BinOp):
        left, right = text_of(node.left), text_of(node.right)
        if isinstance(left, bytes) or isinstance(right, bytes):
            return (left or b"x") + (right or b"x")  # type: ignore[operator]
        return f"{left or 'x'}{right or 'x'}" if isinstance(node.op, ast.Add) else left
    return None


def flags_of(call: ast.Call) -> int:
    named = {n.attr for n in ast.walk(call) if isinstance(n, ast.Attribute)}
    return sum(int(re.RegexFlag[name]) for name in named & set(re.RegexFlag.__members__))


SOURCES = {path: path.read_text(encoding="utf-8") for path in sorted(ROOT.rglob("*.py"))}
OF_RE = re.compile(rf"\bre\.({'|'.join(sorted(CALLS))})\b")
MODULES = {path: ast.parse(text) for path, text in SOURCES.items() if OF_RE.search(text)}


@cache
def calls(tree: ast.AST) -> list[tuple[ast.Call, str, str]]:
    """Return every call of a method with the name of what it belongs to and its own."""
    return [
        (node, node.func.value.id, node.func.attr)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and isinstance(node.func.value, ast.Name)
    ]


def named(tree: ast.AST, call: ast.Call) -> str:
    """Return the name that a compiled pattern is given; empty if it is given none."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is call:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            return target.id if isinstance(target, ast.Name) else ""
    return ""


def methods_of(tree: ast.AST, call: ast.Call, method: str) -> set[str]:
    """Return how a pattern is used; where that is not plain, as a search, which costs most."""
    if method == "compile":
        name = named(tree, call)
        used = {m for _, owner, m in calls(tree) if owner == name}
    else:
        used = {method}
    anchored = used & {"match", "fullmatch"}
    return anchored if used and used == anchored else anchored | {"search"}


def patterns() -> Iterator[tuple[str, str | bytes, int, str]]:
    """Yield place, text, flags and way of use of every pattern."""
    for path, tree in MODULES.items():
        for call, owner, method in calls(tree):
            text = text_of(call.args[0]) if owner == "re" and method in CALLS else None
            if text is not None:
                place = f"{path.relative_to(ROOT)}:{call.lineno}"
                for use in sorted(methods_of(tree, call, method)):
                    yield f"{place} {use}", text, flags_of(call), use


ALL = list(patterns())


def test_they_are_found() -> None:
    assert len(ALL) > 80


@pytest.mark.parametrize(("place", "pattern", "flags", "use"), ALL, ids=[one[0] for one in ALL])
def test_it_takes_time_in_proportion(
    place: str, pattern: str | bytes, flags: int, use: str
) -> None:
    ratio, text = growth(pattern, flags, use, LINEAR)
    assert ratio < LINEAR, f"{place}: {pattern!r} on {text!r}"


@pytest.mark.parametrize(
    "pattern",
    [
        "(a+)+$",  # OWASP, "Regular expression Denial of Service", its own examples (from memory)
        "([a-zA-Z]+)*$",
        "(a|aa)+$",
        "(a|a?)+$",
        r"(.*a){11}$",
        r"\s+/\s+",
        r"\s*x\s*y",
        r"a.*b.*c",
    ],
)
def test_what_is_known_to_be_slow_is_found(pattern: str) -> None:
    assert growth(pattern, enough=LINEAR)[0] >= LINEAR


@pytest.mark.parametrize(
    ("pattern", "use"),
    [
        (r"[a-z]+", "search"),
        (r"(?<!\s)\s+/", "search"),
        (r"\s*x", "match"),
        (r"a{0,200}b", "search"),
        (r"(?:a|\s)++", "fullmatch"),
    ],
)
def test_what_is_linear_passes(pattern: str, use: str) -> None:
    assert growth(pattern, 0, use, LINEAR)[0] < LINEAR


TEXTS = ("", "on", "1013 hPa", "a, b and c", "  x: y ", "FL120", "take-off /  or ", "1,013.5")
PLAIN = sorted({p for _, p, f, _ in ALL if isinstance(p, str) and not f and "{" not in p})


@pytest.mark.parametrize("pattern", PLAIN)
def test_the_counting_matcher_finds_what_the_library_finds(pattern: str) -> None:
    """Bounded repeats are left out, since they are shortened."""
    for text in TEXTS:
        expected = re.match(pattern, text)
        assert Matcher(pattern).end_of(text) == (expected.end() if expected else None), text
