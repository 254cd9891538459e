"""What a list's plan is computed from, stored so that it can be computed again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace

from callout.core.language.tables import Tables
from callout.core.model.checklist import Checklist
from callout.core.model.conditions import Condition, condition_applies
from callout.core.model.flight import Flight, SetUpFact
from callout.core.planning.plan import Plan
from callout.core.planning.resolve import names_of
from callout.core.planning.run_plan import Before, plan_for
from callout.core.planning.stated_quantity import Given, with_given


@dataclass(frozen=True, slots=True)
class Setting:
    """A list, the flight as it was at the beginning, and what was done before."""

    checklist: Checklist
    flight: Flight
    crew: int = 1
    """People who answer: 1 or 2."""
    before: Before = field(default_factory=Before)

    def flight_with(self, facts: Mapping[str, bool | None], given: Iterable[Given] = ()) -> Flight:
        """Return the flight with the facts and quantities stated since."""
        flight = with_given(self.flight, given)
        for name, state in facts.items():
            flight = flight.with_fact(name, state)
        return flight

    def plan(
        self,
        facts: Mapping[str, bool | None],
        tables: Tables,
        given: Collection[Given] = (),
        again: Collection[str] = (),
    ) -> Plan:
        """Return the plan with what has been stated since; raises ChecklistInvalid.

        again: ids of items to ask even though they were done before.
        """
        flight = self.flight_with(facts, given)
        known = {one.name for one in given}
        done = {name: when for name, when in self.before.done.items() if name not in again}
        awaited = {name: at for name, at in self.before.awaited.items() if name not in known}
        standing = {name: a for name, a in self.before.standing.items() if name not in again}
        before = replace(self.before, done=done, awaited=awaited, standing=standing)
        return plan_for(self.checklist, flight, tables, crew=self.crew, before=before)

    def quantities_of(self, item_id: str) -> tuple[str, ...]:
        """Return the quantities that one item answers with, and their inputs."""
        items = (item for item in self.checklist.items if item.id == item_id)
        return tuple(name for item in items for name in names_of(item, self.flight))

    def facts(self) -> tuple[str, ...]:
        """Return the facts that the list asks about, in order of first mention."""
        return tuple(dict.fromkeys(name for c in self._conditions() for name in c.facts))

    def unknown(self, facts: Mapping[str, bool | None]) -> tuple[SetUpFact, ...]:
        """Return the facts worth asking for: unknown, with a question, and with consequences."""
        flight = self.flight_with(facts)
        undecided = (c for c in self._conditions() if condition_applies(c, flight) is None)
        names = dict.fromkeys(name for c in undecided for name in c.facts)
        known = (flight.set_up[name] for name in names if name in flight.set_up)
        return tuple(f for f in known if f.state is None and f.question and f.name not in facts)

    def _conditions(self) -> tuple[Condition, ...]:
        items = (item.when for item in self.checklist.items)
        actions = (action.when for panel in self.checklist.flow for action in panel.actions)
        return tuple(c for c in (*items, *actions) if c is not None)
