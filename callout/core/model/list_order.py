"""The order in which the lists of an aircraft are shown."""

from __future__ import annotations

from collections.abc import Mapping

from callout.core.model.checklist import Checklist


def list_places(lists: Mapping[str, Checklist]) -> dict[str, tuple[int, int, str]]:
    """Return the position of each list: by phase, then by what it follows, then by title."""

    def depth(checklist: Checklist, seen: frozenset[str]) -> int:
        before = [lists[i] for i in checklist.follows if i in lists and i not in seen]
        return max((1 + depth(b, seen | {b.id}) for b in before), default=0)

    return {c.id: (c.phase.order, depth(c, frozenset({c.id})), c.title) for c in lists.values()}
