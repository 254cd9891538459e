"""Responses with values in braces: "{fuel_left} left, {fuel_right} right"."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

_LITERAL = re.compile(r"(?P<number>[+-]?\d+(?:\.\d+)?)\s*(?P<unit>[A-Za-z%°][A-Za-z%°/ ]*)?")
_EXPRESSION = re.compile(r"[A-Za-z0-9_+\-*/()., <>=!\"']+")
_TAKE_TEXT = {"to", "quantity"}
"""Functions that take a text among their arguments: the name of a unit."""
_ALLOWED = (
    ast.Expression,
    ast.BinOp,
    ast.UnaryOp,
    ast.Name,
    ast.Load,
    ast.Constant,
    ast.Call,
    ast.Compare,
    ast.IfExp,
    ast.BoolOp,
    ast.boolop,
    ast.cmpop,
    ast.Add,
    ast.Sub,
    ast.Mult,
    ast.Div,
    ast.unaryop,
)


class TemplateInvalid(ValueError):
    """A response that cannot be parsed; the text says why."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a value: a number as written, or an expression over named quantities."""

    source: str

    @property
    def literal(self) -> tuple[str, str | None] | None:
        """The number as written and its unit, or None for an expression."""
        found = _LITERAL.fullmatch(self.source)
        return (found["number"], found["unit"]) if found else None

    @property
    def names(self) -> tuple[str, ...]:
        """Quantities it is computed from."""
        return () if self.literal else names_in(self.source)


@dataclass(frozen=True, slots=True)
class Written:
    """A number written out in a list or flight file."""

    number: Decimal
    unit: str | None
    digits: int | None
    """Set when leading zeros were written, which must then be spoken."""
    decimals: int | None
    """Decimals of the number as written; None for a word."""


def written_number(number: str, unit: str | None) -> Written:
    """Return what the spelling of a number says about how it is spoken."""
    whole, _, fraction = number.lstrip("+-").partition(".")
    padded = len(whole) > 1 and whole.startswith("0")
    unit = unit.strip() if unit else None
    return Written(Decimal(number), unit, len(whole) if padded else None, len(fraction) or None)


@lru_cache(maxsize=2048)
def split_template(text: str) -> tuple[str | Slot, ...]:
    """Return the words and slots of ``text`` in order; raise TemplateInvalid."""
    parts = re.split(r"\{([^{}]*)\}", text)
    words, slots = parts[::2], parts[1::2]
    if any("{" in word or "}" in word for word in words):
        raise TemplateInvalid(f'the braces of "{text}" do not pair up')
    mixed: list[str | Slot] = []
    for index, word in enumerate(words):
        if word.strip():
            mixed.append(word)
        if index < len(slots):
            mixed.append(_parse_slot(slots[index]))
    return tuple(mixed)


def check_template(text: str) -> str:
    """Return ``text`` if it can be split; raise TemplateInvalid with one sentence."""
    split_template(text)
    return text


def check_expression(text: str) -> str:
    """Return ``text`` if it is a number or an expression; raise TemplateInvalid."""
    return _parse_slot(text).source


def check_comparison(text: str) -> str:
    """Return ``text`` if it is a condition over named quantities; raise TemplateInvalid."""
    names = names_in(text)
    top = ast.parse(text.strip(), mode="eval").body
    parts = top.values if isinstance(top, ast.BoolOp) else [top]
    if not names or not all(isinstance(p, ast.Compare | ast.BoolOp | ast.UnaryOp) for p in parts):
        raise TemplateInvalid(f'"{text}" compares nothing')
    return text.strip()


def slots_of(text: str) -> tuple[Slot, ...]:
    """Return the slots of ``text`` in order."""
    return tuple(part for part in split_template(text) if isinstance(part, Slot))


def names_in(expression: str) -> tuple[str, ...]:
    """Return the quantities named in ``expression``; raise TemplateInvalid if it is invalid."""
    if len(expression) > 200 or not _EXPRESSION.fullmatch(expression):
        raise TemplateInvalid(f'"{expression}" is not a number or a sum of named quantities')
    try:
        nodes = list(ast.walk(ast.parse(expression.strip(), mode="eval")))
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise TemplateInvalid(f'"{expression}" cannot be worked out') from error
    if not all(isinstance(node, _ALLOWED) for node in nodes):
        raise TemplateInvalid(f'"{expression}" may only add, subtract, multiply, divide and round')
    if any(isinstance(node.value, str | bytes) for node in _loose_constants(nodes)):
        raise TemplateInvalid(f'"{expression}" works with text; only numbers can be worked with')
    called = {id(node.func) for node in nodes if isinstance(node, ast.Call)}
    names = (node.id for node in nodes if isinstance(node, ast.Name) and id(node) not in called)
    return tuple(dict.fromkeys(names))


def _loose_constants(nodes: list[ast.AST]) -> list[ast.Constant]:
    """Return the constants that are not arguments of a function that takes the name of a unit."""
    calls = [n for n in nodes if isinstance(n, ast.Call) and isinstance(n.func, ast.Name)]
    handed = {
        id(given)
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id in _TAKE_TEXT
        for given in call.args
    }
    return [n for n in nodes if isinstance(n, ast.Constant) and id(n) not in handed]


def _parse_slot(source: str) -> Slot:
    slot = Slot(source.strip())
    if not slot.source:
        raise TemplateInvalid("there is nothing between the braces")
    if slot.literal is None:
        names_in(slot.source)
    return slot
