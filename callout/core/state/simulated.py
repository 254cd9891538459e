"""A small invented aircraft: switches, their consequences, failures; fully deterministic."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import lru_cache

from callout.core.language.quantities import Quantity, is_true, quantity_key
from callout.core.model.state_quantity import StateQuantity
from callout.core.planning.proofs import position_value
from callout.core.state.board import Shown

LARGEST = Decimal(100_000)
_Names = dict[str, Quantity | str]


@dataclass(frozen=True, slots=True)
class Gauge:
    """The value a quantity moves to by itself while a condition holds."""

    state: str
    when: str
    goes_to: Shown
    rate: Decimal | None = None
    """Units per second; None: at once."""


@dataclass(frozen=True, slots=True)
class SimulatedAircraft:
    """The whole aircraft at one moment."""

    declared: Mapping[str, StateQuantity]
    values: Mapping[str, Shown]
    gauges: tuple[Gauge, ...] = ()
    steps: Mapping[str, Decimal] = field(default_factory=dict)
    """How much one step of a knob changes a number."""
    failed: frozenset[str] = frozenset()

    @property
    def by_itself(self) -> frozenset[str]:
        """Quantities that nobody moves: they follow from the others."""
        return frozenset(gauge.state for gauge in self.gauges)


def cold_aircraft(
    declared: Mapping[str, StateQuantity],
    start: Mapping[str, Shown],
    gauges: tuple[Gauge, ...] = (),
    steps: Mapping[str, Decimal] | None = None,
) -> SimulatedAircraft:
    """Return an aircraft at its start: quantities not named in ``start`` are at their first
    position.
    """
    first = {n: (Decimal(0) if q.number else q.positions[0]) for n, q in declared.items()}
    return SimulatedAircraft(declared, {**first, **start}, gauges, steps or {})


def with_moved(aircraft: SimulatedAircraft, name: str, to: Shown) -> SimulatedAircraft:
    """Return it with one control moved; a failed control, or an unknown position, changes
    nothing.
    """
    declared = aircraft.declared.get(name)
    if declared is None or name in aircraft.failed or name in aircraft.by_itself:
        return aircraft
    fits = isinstance(to, Decimal) and abs(to) <= LARGEST if declared.number else False
    if not fits and (declared.number or to not in declared.positions):
        return aircraft
    return replace(aircraft, values={**aircraft.values, name: to})


def with_failure(aircraft: SimulatedAircraft, name: str) -> SimulatedAircraft:
    """Return it with one quantity failed: a switch sticks, a gauge drops to zero."""
    if name not in aircraft.declared:
        return aircraft
    return replace(aircraft, failed=aircraft.failed | {name})


def with_repair(aircraft: SimulatedAircraft, name: str) -> SimulatedAircraft:
    """Return it with one failure repaired."""
    return replace(aircraft, failed=aircraft.failed - {name})


def after_time(aircraft: SimulatedAircraft, seconds: Decimal) -> SimulatedAircraft:
    """Return it after some time has passed."""
    values, names = dict(aircraft.values), _names_now(aircraft)
    for name in sorted(aircraft.by_itself):
        values[name] = _next(aircraft, name, seconds, names)
    return replace(aircraft, values=values)


def _next(aircraft: SimulatedAircraft, name: str, seconds: Decimal, names: _Names) -> Shown:
    now, declared = aircraft.values[name], aircraft.declared[name]
    nothing: Shown = Decimal(0) if declared.number else declared.positions[0]
    holds = (g for g in aircraft.gauges if g.state == name and is_true(g.when, names))
    gauge = None if name in aircraft.failed else next(holds, None)
    if gauge is None:
        return now if _driven(aircraft, name) else nothing
    to = gauge.goes_to
    if isinstance(now, str) or isinstance(to, str) or gauge.rate is None:
        return to
    step = gauge.rate * seconds
    return to if abs(to - now) <= step else now + (step if to > now else -step)


def _driven(aircraft: SimulatedAircraft, name: str) -> bool:
    """Say whether it has several target positions, as flaps have; it then stays put without
    power.
    """
    places = {g.goes_to for g in aircraft.gauges if g.state == name and g.rate is not None}
    return name not in aircraft.failed and Decimal(0) in places


def _names_now(aircraft: SimulatedAircraft) -> _Names:
    """Return what a condition may name: each position, and the present value of each quantity."""
    names = dict(_position_names(tuple(q.positions for q in aircraft.declared.values())))
    for name, value in aircraft.values.items():
        number = Quantity(value) if isinstance(value, Decimal) else None
        names[name] = number or position_value(str(value))
    return names


@lru_cache(maxsize=8)
def _position_names(declared: tuple[tuple[str, ...], ...]) -> _Names:
    every = (position for positions in declared for position in positions)
    return {quantity_key(p): position_value(p) for p in every if not p.isdecimal()}


def reported_values(aircraft: SimulatedAircraft) -> dict[str, str | float]:
    """Return everything it reports, in the form of a message."""
    pairs = aircraft.values.items()
    return {n: v if isinstance(v, str) else float(round(v, 3)) for n, v in pairs}
