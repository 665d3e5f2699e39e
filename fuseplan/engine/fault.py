"""Short circuits: what current flows at each protective device and at the far end of each branch, whether the device
opens in time, and whether the wires outlive it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import greatest_time_s, let_through_a2s
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source, internal_ohm
from fuseplan.errors import TableError
from fuseplan.formulas.adiabatic import adiabatic_temperature
from fuseplan.formulas.battery import short_circuit_current
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.tables import insulations

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

OPEN_WITHIN_S = 5.0
"""A short at the far end must be cleared within this time; the adiabatic limit of a wire holds up to it
(IEC 60364-4-43, from memory)."""


@dataclass(frozen=True)
class Faults:
    """Currents in A, times in s, heat in A²s.

    ``far_*`` is the smallest short-circuit current of a branch: battery alone, cold, conductors as hot as they get in
    service, short across the load's terminals so that its earth wire counts. ``prospective_*`` is the largest, just
    behind the device: warm battery and the alternator together, conductors cold, straight to battery negative.
    """

    load_far_a: Floats
    """Per consumer (L,)."""
    feed_far_a: dict[str, float]
    """Short from a feed to the body beside it."""
    circuit_far_a: Floats
    """The smallest of a circuit's loads (circuits,); NaN without loads."""
    fuse_far_a: Floats
    """The smallest far-end current among all a device guards (J,)."""
    prospective_a: Floats
    """(J,)."""
    fuse_opens_s: Floats
    """Greatest opening time at the far-end current (J,); NaN where no limits are on file."""
    circuit_opens_s: Floats
    """The same for each circuit, by the device that guards it."""
    segment_fault_a: Floats
    """(S,)."""
    segment_end_c: Floats
    """Conductor temperature after the device's greatest let-through (S,); NaN where unknown."""
    segment_limit_c: Floats
    """Final temperature its insulation bears for up to 5 s (S,); NaN where nothing is on file."""
    start_c: Floats


def _path_ohm(network: Network, solution: Solution, segment_c: Floats, fuse_ohm: Floats) -> tuple[Floats, Floats]:
    """Resistance from the root to each supply and return node at given conductor temperatures."""
    segments = network.segments
    ohm = segments.r20_ohm * copper_temperature_factor(segment_c)
    supply, back = network.supply_base.copy(), network.returns_base.copy()
    np.add.at(supply, network.fuse_node, fuse_ohm)
    np.add.at(supply, segments.branch[~segments.returns], ohm[~segments.returns])
    np.add.at(back, segments.branch[segments.returns], ohm[segments.returns])
    return network.supply.path_drops(supply), network.returns.path_drops(back)


def faults_of(network: Network, source: Source, solution: Solution, fuse_ohm: Floats, rating_a: Floats) -> Faults:
    """Short-circuit currents and what becomes of fuses and wires."""
    segments, consumers = network.segments, network.consumers
    conditions = len(network.conditions)
    start_c = solution.segment_c[:conditions].max(axis=0, initial=-np.inf)
    start_c = np.minimum(np.where(np.isinf(start_c), segments.ambient_c, start_c), segments.max_c)
    hot_supply, hot_return = _path_ohm(network, solution, start_c, fuse_ohm)
    cold_supply, _ = _path_ohm(network, solution, np.minimum(segments.ambient_c, 20.0), fuse_ohm)
    emf = float(source.open_circuit_v[0])
    weakest = internal_ohm(network.plan.battery, network.system_v, cold=True)
    strongest = internal_ohm(network.plan.battery, network.system_v, cold=False)

    load_far = np.asarray(short_circuit_current(
        emf, weakest, hot_supply[consumers.supply_node] + hot_return[consumers.return_node]))
    load_far = np.where(consumers.kind == LOAD, load_far, np.inf)
    body = max((float(hot_return[node]) for name, node in network.earth_node.items()
                if name in network.plan.earth and not network.plan.earth[name].engine), default=0.0)
    feed_far = {name: float(short_circuit_current(emf, weakest, float(hot_supply[node]) + body))
                for name, node in network.feed_node.items()}

    circuit_far = np.full(len(network.circuit_ids), np.inf)
    member = consumers.kind == LOAD
    np.minimum.at(circuit_far, consumers.circuit[member], load_far[member])
    count = len(network.fuses)
    fuse_far = np.full(count, np.inf)
    circuit_guard = network.guard[network.circuit_node]
    guarded = circuit_guard >= 0
    np.minimum.at(fuse_far, circuit_guard[guarded], circuit_far[guarded])
    for name, node in network.feed_node.items():
        if network.guard[node] >= 0:
            fuse_far[network.guard[node]] = min(fuse_far[network.guard[node]], feed_far[name])
    if network.alternator >= 0:
        node = int(consumers.supply_node[network.alternator])
        if network.guard[node] >= 0:
            lead = float(short_circuit_current(emf, weakest, float(hot_supply[node]) + body))
            fuse_far[network.guard[node]] = min(fuse_far[network.guard[node]], lead)

    upstream = cold_supply[network.supply.parent[network.fuse_node]] + fuse_ohm
    alternator_a = source.rated_a if source.alternator_known else 0.0
    prospective = np.asarray(short_circuit_current(emf, strongest, upstream)) + alternator_a

    opens = _by_device(network, rating_a, fuse_far, np.arange(count), greatest_time_s)
    circuit_opens = _by_device(network, rating_a, circuit_far, circuit_guard, greatest_time_s)

    fault = np.full(segments.count, np.nan)
    guard = network.segment_guard
    has = guard >= 0
    fault[has] = fuse_far[guard[has]]
    own = np.full(network.supply.count, np.inf)
    np.minimum.at(own, network.circuit_node, circuit_far)
    np.minimum.at(own, consumers.supply_node[member], load_far[member])
    supply_side = np.flatnonzero(~segments.returns & has)
    at_branch = own[segments.branch[supply_side]]
    fault[supply_side] = np.where(np.isfinite(at_branch), at_branch, fault[supply_side])
    back = np.full(network.returns.count, np.inf)
    np.minimum.at(back, consumers.return_node[member], load_far[member])
    return_side = np.flatnonzero(segments.returns & has)
    at_return = back[segments.branch[return_side]]
    fault[return_side] = np.where(np.isfinite(at_return), at_return, fault[return_side])
    fault = np.where(np.isinf(fault), np.nan, fault)
    heat = _by_device(network, rating_a, fault, guard, let_through_a2s)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        end_c = np.asarray(adiabatic_temperature(start_c, np.sqrt(heat), 1.0, segments.area_mm2))
    end_c = np.where(np.isnan(heat), np.nan, np.minimum(end_c, MELTED_C))
    limit_c = np.array([_short_limit(name) for name in segments.insulation], dtype=float)
    return Faults(
        load_far_a=load_far, feed_far_a=feed_far,
        circuit_far_a=np.where(np.isinf(circuit_far), np.nan, circuit_far),
        fuse_far_a=np.where(np.isinf(fuse_far), np.nan, fuse_far), prospective_a=prospective, fuse_opens_s=opens,
        circuit_opens_s=circuit_opens, segment_fault_a=fault, segment_end_c=end_c, segment_limit_c=limit_c,
        start_c=start_c,
    )


MELTED_C = 1083.0
"""Copper melts; a computed temperature stops here."""


def _short_limit(insulation: str) -> float:
    try:
        limit = insulations.insulation(insulation).short_c
    except TableError:
        return np.nan
    return np.nan if limit is None else limit


def _by_device(network: Network, rating_a: Floats, current_a: Floats, device: Ints,
               answer: Callable[[str, float, Floats], Floats]) -> Floats:
    """Ask `answer(kind, rating, currents)` for many currents, one call for each distinct kind and rating."""
    out = np.full(len(current_a), np.nan)
    asked = np.flatnonzero((device >= 0) & np.isfinite(current_a))
    if not asked.size:
        return out
    rating = rating_a[device[asked]]
    kinds = np.array([network.fuses[index].fuse.kind for index in range(len(network.fuses))])[device[asked]]
    known = ~np.isnan(rating)
    asked, rating, kinds = asked[known], rating[known], kinds[known]
    groups: dict[tuple[str, float], list[int]] = {}
    for place, key in enumerate(zip(kinds.tolist(), rating.tolist(), strict=True)):
        groups.setdefault(key, []).append(place)
    for (kind, amperes), places in groups.items():
        chosen = asked[places]
        out[chosen] = answer(kind, amperes, current_a[chosen])
    return out


def survives(faults: Faults, index: int) -> bool | None:
    """Whether a segment outlives a short at the far end: None where nothing on file answers.

    The let-through is taken as kept in the copper to the last joule, which is right up to 5 s and overstates the
    heating beyond; a slow device that stays below the limit is therefore safe, one above it undecided.
    """
    end, limit = float(faults.segment_end_c[index]), float(faults.segment_limit_c[index])
    if np.isnan(end) or np.isnan(limit):
        return None
    return end <= limit
