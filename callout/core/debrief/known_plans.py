"""What the rows of a list have from its plan, worked out once for each plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from callout.core.debrief.column_kinds import Value
from callout.core.debrief.gather import phase_of
from callout.core.planning.plan import Plan

_KEPT: Final = 64
"""Plans that are remembered: the journals of a year come from a few dozen."""
_remembered: dict[int, KnownPlan] = {}


@dataclass(frozen=True, slots=True)
class KnownPlan:
    """A plan as the rows need it."""

    plan: Plan
    places: Mapping[str, int]
    """Place of each item by its id; the first where an id comes twice."""
    items: tuple[tuple[Value, ...], ...]
    """Of each item: its id, place, challenge, section, role, and whether it is critical."""
    replies: tuple[int, ...]
    """Right replies that settle each item."""
    phase: str

    @property
    def plain(self) -> bool:
        """True where no id comes twice."""
        return len(self.places) == len(self.items)


def known_plan(plan: Plan) -> KnownPlan:
    """Return what the rows need of a plan; one that is the same object is looked at once."""
    found = _remembered.get(id(plan))
    if found is None or found.plan is not plan:
        if len(_remembered) >= _KEPT:
            _remembered.clear()
        found = _remembered[id(plan)] = _look_at(plan)
    return found


def _look_at(plan: Plan) -> KnownPlan:
    return KnownPlan(
        plan=plan,
        places={item.id: place for place, item in reversed(list(enumerate(plan.items)))},
        items=tuple(
            (item.id, place, item.challenge, item.section, item.role.value, item.critical)
            for place, item in enumerate(plan.items)
        ),
        replies=tuple(item.replies for item in plan.items),
        phase=phase_of(plan),
    )
