"""A trip stepped through time: state of charge, bus voltage and alternator load, and whether the car starts after it.

Each leg is one condition on average demand. The battery's current is solved over a grid of states of charge once,
then followed in small steps of time.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.battery import CHARGE_EFFICIENCY, SECONDS_PER_HOUR, BatteryFacts
from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.cranking import crank_condition, starter_consumer
from fuseplan.engine.cranking_limits import battery_limit
from fuseplan.engine.network import Network
from fuseplan.engine.power import still_a
from fuseplan.engine.scenario import rows, weighed
from fuseplan.engine.solve import solve
from fuseplan.engine.source import Source
from fuseplan.plan.model import Trip
from fuseplan.quantities import writing
from fuseplan.records import dataclass

STEPS_PER_LEG = 60
_GRID = np.linspace(0.0, 1.0, 21)


@dataclass(frozen=True)
class Leg:
    """What one leg did. Charges in Ah."""

    condition: int
    duration_s: float
    start_charge: float
    end_charge: float
    put_in_ah: float
    taken_out_ah: float


@dataclass(frozen=True)
class TripResult:
    """A trip; arrays of shape (T,) over time, the start included."""

    name: str
    time_s: Floats
    charge: Floats
    """State of charge, 0 to 1."""
    bus_v: Floats
    alternator_a: Floats
    """What the alternator delivers, the charging current included."""
    battery_a: Floats
    """Into the battery; negative out of it."""
    leg_of: NDArray[np.int64]
    legs: tuple[Leg, ...]
    put_in_ah: float
    """Charge put into the battery."""
    taken_out_ah: float
    """Charge taken from it."""
    lost_ah: float
    """Not stored while charging, and lost to discharge above the 20-hour current."""
    flat_at_s: float
    """When the battery was first empty; NaN where it never was."""
    starts: bool | None
    """Whether it starts at the end; None where that cannot be worked out."""
    verdict: str
    crank_v: float
    """Battery post while cranking at the end; NaN where no starter is in the plan."""


@dataclass(frozen=True)
class _Table:
    """One condition over the grid of states of charge."""

    battery_out_a: Floats
    surplus_a: Floats
    demand_a: Floats
    bus_v: Floats


def _tabulate(network: Network, source: Source, fuse_ohm: Floats, facts: BatteryFacts, condition: int) -> _Table:
    few, narrow = rows(network, source, [condition] * len(_GRID))
    real = few.consumers.kind != ALTERNATOR
    solution = solve(few, replace(narrow, open_circuit_v=facts.open_v_at(_GRID)), fuse_ohm)
    half = slice(0, len(_GRID))
    demand = (solution.consumer_a[half] * real).sum(axis=1)
    out = np.maximum(demand - solution.alternator_a[half], 0.0)
    gives, still = narrow.available_a, still_a(narrow.available_a)
    out = np.where((gives > 0) & (out < still), 0.0, out)
    surplus = np.maximum(gives - demand, 0.0) * ((solution.alternator_a[half] < gives - still) & (out == 0.0))
    return _Table(out, surplus, demand, solution.root_v[half])


def drive(network: Network, source: Source, fuse_ohm: Floats, facts: BatteryFacts, trip: Trip, name: str,
          efficiency: float = CHARGE_EFFICIENCY) -> TripResult | None:
    """Step a trip; None where the battery's capacity is not known.

    Args:
        network, source, fuse_ohm: As solved.
        efficiency: charge stored of the charge put in, 0 to 1
    """
    if math.isnan(facts.capacity_ah):
        return None
    mean, tables = weighed(network), dict[int, _Table]()
    charge, now, flat_at = facts.charge, 0.0, math.nan
    put_in = taken = lost = 0.0
    track: list[tuple[float, float, float, float, float, int]] = []
    legs: list[Leg] = []
    for number, leg in enumerate(trip.leg):
        condition = network.condition_ids.index(leg.condition)
        if condition not in tables:
            tables[condition] = _tabulate(mean, source, fuse_ohm, facts, condition)
        table, began, before_in, before_out = tables[condition], charge, put_in, taken
        step_h = float(leg.duration) / STEPS_PER_LEG / SECONDS_PER_HOUR
        for _ in range(STEPS_PER_LEG):
            out = float(np.interp(charge, _GRID, table.battery_out_a))
            into = min(float(np.interp(charge, _GRID, table.surplus_a)), float(facts.acceptance_a(np.asarray(charge))))
            demand = float(np.interp(charge, _GRID, table.demand_a))
            if charge <= 0.0:
                out = 0.0
            if not track or track[-1][5] != number:
                track.append((now, charge, float(np.interp(charge, _GRID, table.bus_v)), demand - out + into,
                              into - out, number))
            gone = float(facts.taken_a(np.asarray(out)))
            change = (efficiency * into - gone) * step_h
            room = -charge * facts.capacity_ah
            if change < min(room, 0.0):
                out, gone, change = out * room / change, gone * room / change, room
                flat_at = now if math.isnan(flat_at) else flat_at
            put_in, taken = put_in + into * step_h, taken + out * step_h
            lost += ((1.0 - efficiency) * into + gone - out) * step_h
            charge = max(charge + change / facts.capacity_ah, 0.0)
            now += step_h * SECONDS_PER_HOUR
            track.append((now, charge, float(np.interp(charge, _GRID, table.bus_v)), demand - out + into, into - out,
                          number))
        legs.append(Leg(condition, float(leg.duration), began, charge, put_in - before_in, taken - before_out))
    starts, verdict, crank_v = _starts(network, source, fuse_ohm, facts, charge, flat_at)
    columns = [np.array(column) for column in zip(*track, strict=True)] if track else [np.zeros(0)] * 6
    return TripResult(
        name=trip.name or name, time_s=columns[0], charge=columns[1], bus_v=columns[2], alternator_a=columns[3],
        battery_a=columns[4], leg_of=columns[5].astype(np.int64), legs=tuple(legs), put_in_ah=put_in,
        taken_out_ah=taken, lost_ah=lost, flat_at_s=flat_at, starts=starts, verdict=verdict, crank_v=crank_v)


def _starts(network: Network, source: Source, fuse_ohm: Floats, facts: BatteryFacts, charge: float,
            flat_at_s: float) -> tuple[bool | None, str, float]:
    """Whether the car starts at a state of charge: by the published share of capacity that may go, and by the
    battery's voltage while cranking."""
    index = crank_condition(network)
    crank_v = math.nan
    if index >= 0 and starter_consumer(network, index) >= 0:
        few, narrow = rows(network, source, [index])
        here = facts.open_v_at(np.array([charge]))
        crank_v = float(solve(few, replace(narrow, open_circuit_v=here), fuse_ohm).root_v[0])
    share, limit = facts.no_start_share, battery_limit(network.plan.battery, network.system_v)
    said = f"{writing.limit(charge, 'share')} charged at the end"
    if not math.isnan(crank_v):
        said += f", {writing.limit(crank_v, 'V')} at the battery while cranking"
    if not math.isnan(flat_at_s):
        return False, f"does not start: the battery was flat on the way, {said}", crank_v
    if 1.0 - charge > share.value:
        return False, (f"does not start: {said}; the published rule expects no start once "
                       f"{writing.stated(share.value, 'share')} of the capacity is gone "
                       f"({share.source.line()})"), crank_v
    if crank_v < limit.value:
        return False, (f"does not start for sure: {said}, below the {writing.burden(limit.value, 'V')} of a workshop "
                       f"test ({limit.source.line()})"), crank_v
    if math.isnan(crank_v):
        return None, f"{said}; no starter is in the plan, so whether it starts is not known", crank_v
    return True, f"starts: {said}", crank_v
