"""Turns blanks and conditions of a card into lines of flight data."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping

from callout.core.authoring.guesses import AskedFact, Blank, Reading
from callout.core.formats.draft_yaml import quoted_yaml

_KEYS = ("quantities", "facts")


def data_lines(reading: Reading, there: Collection[str] = ()) -> dict[str, list[str]]:
    """Return key of the flight file -> lines that ``reading`` needs under it.

    ``there`` are names that the flight already has.
    """
    kept = [guess for guess in reading.guesses if guess.kept]
    used = " ".join(reply for guess in kept for reply in guess.item.responses)
    blanks = {b.name: b for guess in kept for b in guess.blanks if f"{{{b.name}}}" in used}
    facts = {fact.name: fact for guess in kept for fact in guess.facts}
    made = {
        "quantities": [_quantity_line(b) for name, b in blanks.items() if name not in there],
        "facts": [_fact_line(f) for name, f in facts.items() if name not in there],
    }
    return {key: lines for key, lines in made.items() if lines}


def flight_text(title: str, lines: Mapping[str, Iterable[str]]) -> str:
    """Return a new flight file."""
    parts = ["callout: 1", f"title: {quoted_yaml(title)}"]
    for key in _KEYS:
        if key in lines:
            parts += [f"{key}:", *lines[key]]
    return "\n".join(parts) + "\n"


def with_lines(text: str, lines: Mapping[str, Iterable[str]]) -> str | None:
    """Return the flight file ``text`` with ``lines`` inserted; None if there is no obvious place
    for them.
    """
    for key, added in lines.items():
        block = "\n".join(added) + "\n"
        head = re.search(rf"^{key}:[ \t]*(?:#.*)?\n", text, re.MULTILINE)
        if head is not None:
            after = text[head.end() :]
            pad = re.match(r"(?:[ \t]*(?:#.*)?\n)*( +)\S", after)
            if pad is None:
                return None
            block = re.sub(r"^ {2}", pad[1], block, flags=re.MULTILINE)
            text = text[: head.end()] + block + after
        elif re.search(rf"^{key}\s*:", text, re.MULTILINE):
            return None
        else:
            text = text.rstrip("\n") + f"\n{key}:\n{block}"
    return text


def _quantity_line(blank: Blank) -> str:
    keys = [f"name: {quoted_yaml(blank.words)}"]
    if blank.kind:
        keys.append(f"kind: {blank.kind}")
    if blank.unit:
        keys.append(f"unit: {quoted_yaml(blank.unit)}")
    return f"  {blank.name}: {{{', '.join(keys)}}}"


def _fact_line(fact: AskedFact) -> str:
    if not fact.ask:
        return f"  {fact.name}: unknown"
    return f"  {fact.name}: {{is: unknown, ask: {quoted_yaml(fact.ask)}}}"
