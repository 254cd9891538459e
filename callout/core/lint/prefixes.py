"""Replies that become their opposite when a weak first syllable is not heard."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from callout.core.lint.finding import Remark, Subject
from callout.core.lint.replies import contrary_replies
from callout.core.planning.templates import slots_of
from callout.core.sentences import check_findings as sentences

_PREFIXES: Final = ("un", "dis", "de", "in", "im", "non")
"""Unstressed prefixes that reverse an English state."""


def lost_prefix(subject: Subject) -> Iterator[Remark]:
    """A right and a wrong reply that differ only by such a prefix."""
    for item in subject.checklist.items:
        wrongs = [w.response.text for w in item.wrong if not slots_of(w.response.text)]
        for right in (r for r in item.responses if not slots_of(r.text)):
            for wrong in dict.fromkeys((*wrongs, *contrary_replies(right, subject))):
                if said := _said_alike(right.text, wrong):
                    hint = sentences.LOST_PREFIX_HINT
                    yield Remark(right.line, said, hint, item.id)
                    break


def _said_alike(right: str, wrong: str) -> str:
    if prefix := prefix_between(wrong, right):
        return f'without its "{prefix}", the wrong reply "{wrong}" is the right one, "{right}".'
    if prefix := prefix_between(right, wrong):
        return f'without its "{prefix}", the reply "{right}" is the wrong one, "{wrong}".'
    return ""


def prefix_between(longer: str, shorter: str) -> str:
    """Return the prefix that ``longer`` adds to one word of ``shorter``, if nothing else differs.

    Empty if they differ otherwise, or if the remaining word is shorter than the prefix.
    """
    one, other = longer.casefold().split(), shorter.casefold().split()
    if len(one) != len(other):
        return ""
    apart = [(a, b) for a, b in zip(one, other, strict=True) if a != b]
    if len(apart) != 1 or not apart[0][0].endswith(apart[0][1]):
        return ""
    prefix = apart[0][0].removesuffix(apart[0][1])
    return prefix if prefix in _PREFIXES and len(apart[0][1]) > len(prefix) else ""
