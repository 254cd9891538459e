"""Turns units as people write them into the short names used internally."""

from __future__ import annotations

from collections.abc import Iterable

from callout.core.language.tables import Tables
from callout.core.model.shapes import did_you_mean
from callout.core.sentences import planning as sentences
from callout.errors import ChecklistInvalid


def unit_named(name: str | None, tables: Tables) -> str | None:
    """Return the short name of a unit as written; raise ChecklistInvalid for an unknown one.

    Two units may form a ratio, as in "kg/L".
    """
    if name is None:
        return None
    known = _known_unit(name, tables)
    if known is not None:
        return known
    above, slash, below = (part.strip() for part in name.partition("/"))
    if slash and _known_unit(above, tables) and _known_unit(below, tables):
        return f"{_known_unit(above, tables)}/{_known_unit(below, tables)}"
    hint = did_you_mean(name, tables.units) or sentences.known_units(", ".join(tables.units))
    raise ChecklistInvalid(f'"{name}" is not a unit known here.', hint)


def units_named(names: Iterable[str], tables: Tables) -> tuple[str, ...]:
    """Return the short names of several units; raise ChecklistInvalid for an unknown one."""
    return tuple(unit for unit in (unit_named(name, tables) for name in names) if unit)


def _known_unit(name: str, tables: Tables) -> str | None:
    if name in tables.units:
        return name
    folded = " ".join(name.casefold().replace("°", "deg").replace("%", "pct").split())
    if folded in tables.unit_symbols:
        return tables.unit_symbols[folded]
    spoken = {unit.says: short for short, unit in tables.units.items()}
    return spoken.get(folded)
