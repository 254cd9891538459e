"""The ways a crew says an answer, and the ways a recogniser writes its numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import product

from callout.core.language.number_words import number_forms, one_by_one
from callout.core.language.tables import Tables
from callout.core.model.expectation import Answer, Part, Value, ValueKind

_K = ValueKind


def spoken_forms(answer: Answer, tables: Tables, limit: int = 24) -> tuple[str, ...]:
    """Return lower-case, digit-free ways to say ``answer``, most usual first, at most ``limit``."""
    choices = [_part_forms(part, tables) for part in answer.parts]
    values = tuple(i for i, part in enumerate(answer.parts) if isinstance(part, Value))

    def rank(combo: tuple[tuple[int, str], ...]) -> tuple[bool, int]:
        """Rank forms that say every number the same way first: crews are consistent."""
        ways = {combo[i][0] for i in values}
        return len(ways) > 1, sum(r for r, _ in combo)

    ranked = sorted(product(*(tuple(enumerate(c)) for c in choices)), key=rank)
    forms = (" ".join(text for _, text in combo if text) for combo in ranked)
    return tuple(dict.fromkeys(f for f in forms if f))[:limit]


def _part_forms(part: Part, tables: Tables) -> tuple[str, ...]:
    if isinstance(part, Value):
        return value_forms(part, tables)[:24]
    return (_say_words(part.text, tables),)


def _say_words(text: str, tables: Tables) -> str:
    out = []
    for token in re.findall(r"[A-Za-z']+|[0-9]", text):
        lower = token.lower()
        if token.isdigit():
            out.append(one_by_one(token))
        elif lower in tables.acronyms:
            out.extend(lower)
        else:
            out.append(lower)
    return " ".join(out)


def value_forms(value: Value, tables: Tables) -> tuple[str, ...]:
    """Return ways to say one value, most usual first."""
    sign = "minus " if value.number < 0 else ""
    bare = tuple(sign + form for form in number_forms(value))
    return tuple(dict.fromkeys(_with_names(value, bare, tables)))


def _with_names(value: Value, bare: tuple[str, ...], tables: Tables) -> Iterable[str]:
    if value.kind is _K.FLIGHT_LEVEL:
        for form in bare:
            yield f"flight level {form}"
        yield from bare
        return
    if value.unit == "mach":
        for form in bare:
            yield f"mach {form}"
        yield from bare
        return
    known = tables.units.get(value.unit or "")
    unit = known.says if known else ""
    if not unit:
        yield from bare
        return
    usual = value.kind not in (_K.PRESSURE, _K.FREQUENCY, _K.HEADING) or value.unit_required
    for form in bare:
        both = (f"{form} {unit}", form) if usual else (form, f"{form} {unit}")
        yield from both if not value.unit_required else both[:1]
    if value.kind is _K.TEMPERATURE:
        yield from (f"{form} degrees" for form in bare)
