"""Selects one of the platform's voices."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

Described = Mapping[str, Any]
"""``id``, ``name`` and ``languages`` of one voice."""


def choose_voice(voices: Sequence[Described], wanted: str) -> Described | None:
    """Return the voice that ``wanted`` means: its id, its name, its language or a part of the name.

    Case is ignored; the first of the best matches wins; None if nothing matches.
    """
    name = wanted.casefold().strip()
    if not name:
        return None
    return next((v for fits in _FITS for v in voices if fits(v, name)), None)


def _by_id(voice: Described, name: str) -> bool:
    return str(voice["id"]).casefold() == name


def _by_name(voice: Described, name: str) -> bool:
    return str(voice["name"]).casefold() == name


def _by_language(voice: Described, name: str) -> bool:
    return name in [str(language).casefold() for language in voice["languages"]]


def _by_part(voice: Described, name: str) -> bool:
    return name in str(voice["name"]).casefold() or name in str(voice["id"]).casefold()


_FITS = (_by_id, _by_name, _by_language, _by_part)
