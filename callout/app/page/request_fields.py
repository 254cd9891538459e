"""Reads requests of the page without trusting them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from callout.core.sentences import page as sentences
from callout.errors import CalloutError

Answer = dict[str, Any]
Handler = Callable[[Mapping[str, Any]], Answer]
LONGEST = 400


def text_in(wish: Mapping[str, Any], name: str, most: int = LONGEST) -> str:
    """Return a text field of a request; raises CalloutError if it is not a text."""
    text = wish.get(name)
    if not isinstance(text, str) or len(text) > most:
        raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)
    try:
        text.encode()
    except UnicodeEncodeError as error:  # a lone surrogate
        raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD) from error
    return text


def number_in(wish: Mapping[str, Any], name: str, least: int, most: int) -> int:
    """Return a whole number of a request; raises CalloutError if it is not one."""
    number = wish.get(name)
    if not isinstance(number, int) or isinstance(number, bool) or not least <= number <= most:
        raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)
    return number
