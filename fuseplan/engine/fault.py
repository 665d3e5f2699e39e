"""Short circuits: what current flows at each protective device and at the far end of each branch, whether the device
opens in time, and whether the wires outlive it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import let_through_a2s
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.devices import Devices
from fuseplan.engine.network import Network
from fuseplan.engine.ratios import COPPER_MELTS_C, heated_c
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source, internal_ohm, strongest_ohm
from fuseplan.errors import TableError
from fuseplan.formulas.battery import short_circuit_current
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.tables import insulations

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

OPEN_WITHIN_S = 5.0
"""A short at the far end must be cleared within this time; the adiabatic limit of a wire holds up to it
(IEC 60364-4-43, from memory)."""


@dataclass(frozen=True)
class FarEnds:
    """The smallest short-circuit currents [A], whatever the ratings: what `Faults` rests on."""

    load_a: Floats
    """Per consumer (L,)."""
    feed_a: dict[str, float]
    circuit_a: Floats
    """The smallest of a circuit's loads (circuits,); infinite without loads."""
    fuse_a: Floats
    """The smallest among all a device guards (J,); infinite where nothing is known."""
    segment_a: Floats
    """(S,); NaN where no device guards it."""
    start_c: Floats
    """Hottest each conductor gets in service [°C] (S,)."""


@dataclass(frozen=True)
class Faults:
    """Currents in A, times in s, heat in A²s.

    ``far_*`` is the smallest short-circuit current of a branch: battery alone, cold, conductors as hot as they get in
    service, other loads not drawing. A circuit is shorted across its load's terminals, so that its earth wire counts;
    a feed to the body beside it, through the body earth with the most resistance; the alternator cable at its start,
    through that or the engine's own earth, whichever has more. ``prospective_*`` is the largest, just behind the
    device: warm battery and the alternator's rated output together, conductors cold, straight to battery negative.
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
    segment_opens_s: Floats
    """Greatest opening time of its device at that current (S,)."""
    segment_end_c: Floats
    """Hottest the conductor gets before its device opens (S,); NaN where unknown."""
    segment_limit_c: Floats
    """Final temperature its insulation bears for up to 5 s (S,); NaN where nothing is on file."""
    start_c: Floats


def _path_ohm(network: Network, segment_c: Floats, fuse_ohm: Floats, taken: bool = True) -> tuple[Floats, Floats]:
    """Resistance from the root to each supply and return node at given conductor temperatures; `taken` counts what the
    plan does not give and is assumed."""
    segments = network.segments
    ohm = segments.r20_ohm * copper_temperature_factor(segment_c)
    supply = (network.supply_base if taken else network.supply_given).copy()
    back = (network.returns_base if taken else network.returns_given).copy()
    np.add.at(supply, network.fuse_node, fuse_ohm)
    np.add.at(supply, segments.branch[~segments.returns], ohm[~segments.returns])
    np.add.at(back, segments.branch[segments.returns], ohm[segments.returns])
    return network.supply.path_drops(supply), network.returns.path_drops(back)


def least_way_ohm(network: Network, fuse_ohm: Floats) -> Floats:
    """Resistance of the wires from the battery out to each consumer and back [ohm], at 20 °C, what is not known or
    only assumed left out (L,)."""
    supply, back = _path_ohm(network, np.full(network.segments.count, 20.0), fuse_ohm, taken=False)
    return supply[network.consumers.supply_node] + back[network.consumers.return_node]


def far_ends_of(network: Network, source: Source, solution: Solution, fuse_ohm: Floats,
                inner_ohm: float | None = None) -> FarEnds:
    """The smallest short-circuit currents; `fuse_ohm` is what each device's resistance does not exceed (J,),
    `inner_ohm` the battery's, that of a cold one where left out."""
    consumers = network.consumers
    start_c = _start_c(network, solution)
    supply_ohm, return_ohm = _path_ohm(network, start_c, fuse_ohm)
    emf = float(source.open_circuit_v[0])
    inner = internal_ohm(network.plan.battery, network.system_v, cold=True) if inner_ohm is None else inner_ohm

    is_load = consumers.kind == LOAD
    load_far = np.where(is_load, np.asarray(short_circuit_current(
        emf, inner, supply_ohm[consumers.supply_node] + return_ohm[consumers.return_node])), np.inf)
    circuit_far = np.full(len(network.circuit_ids), np.inf)
    np.minimum.at(circuit_far, consumers.circuit[is_load], load_far[is_load])
    body = max((float(return_ohm[node]) for name, node in network.earth_node.items()
                if name in network.plan.earth and not network.plan.earth[name].engine), default=0.0)
    feed_far = {name: float(short_circuit_current(emf, inner, float(supply_ohm[node]) + body))
                for name, node in network.feed_node.items()}
    lead_far = np.inf
    if network.alternator >= 0:
        lead = float(supply_ohm[consumers.supply_node[network.alternator]])
        engine = float(return_ohm[consumers.return_node[network.alternator]])
        lead_far = float(short_circuit_current(emf, inner, lead + max(body, engine)))
    fuse_far = _by_guard(network, circuit_far, feed_far, lead_far)
    return FarEnds(load_far, feed_far, circuit_far, fuse_far,
                   _segment_fault(network, load_far, circuit_far, fuse_far), start_c)


def faults_of(network: Network, source: Source, far: FarEnds, printed_ohm: Floats, devices: Devices,
              limit_a: Floats) -> Faults:
    """Short-circuit currents and what becomes of fuses and wires.

    `printed_ohm` is what is printed of each device's resistance, for the most a short draws (J,). `limit_a` is the
    ampacity of each segment (S,).
    """
    segments = network.segments
    circuit_guard = network.guard[network.circuit_node]
    count, circuits = len(network.fuses), len(network.circuit_ids)
    asked = np.concatenate([np.arange(count), circuit_guard, network.segment_guard])
    opens, heat = devices.clears(devices.type_of(asked), np.concatenate([far.fuse_a, far.circuit_a, far.segment_a]))
    fuse_opens, circuit_opens, segment_opens = np.split(opens, [count, count + circuits])
    return Faults(
        load_far_a=far.load_a, feed_far_a=far.feed_a, circuit_far_a=_finite(far.circuit_a),
        fuse_far_a=_finite(far.fuse_a),
        prospective_a=_prospective(network, source, float(source.open_circuit_v[0]), printed_ohm),
        fuse_opens_s=fuse_opens, circuit_opens_s=circuit_opens,
        segment_fault_a=far.segment_a, segment_opens_s=segment_opens,
        segment_end_c=_end_c(network, far.start_c, far.segment_a, heat[count + circuits:], segment_opens, limit_a),
        segment_limit_c=_short_limits(segments.insulation), start_c=far.start_c,
    )


def _finite(values: Floats) -> Floats:
    return np.where(np.isinf(values), np.nan, values)


def _start_c(network: Network, solution: Solution) -> Floats:
    """Hottest each conductor gets in service (S,), its ambient where it never carries current."""
    hottest = solution.segment_c[: len(network.conditions)].max(axis=0, initial=-np.inf)
    return np.minimum(np.where(np.isfinite(hottest), hottest, network.segments.ambient_c), COPPER_MELTS_C)


def _prospective(network: Network, source: Source, emf: float, fuse_ohm: Floats) -> Floats:
    cold, _ = _path_ohm(network, np.minimum(network.segments.ambient_c, 20.0), fuse_ohm, taken=False)
    inner = strongest_ohm(network.plan.battery, network.system_v)
    upstream = cold[network.supply.parent[network.fuse_node]] + fuse_ohm
    alternator_a = source.rated_a if source.alternator_known else 0.0
    return np.asarray(short_circuit_current(emf, inner, upstream)) + alternator_a


def _by_guard(network: Network, circuit_far: Floats, feed_far: dict[str, float], lead_far: float) -> Floats:
    """The smallest far-end current among all a device guards (J,), infinite where nothing is known."""
    far = np.full(len(network.fuses), np.inf)
    guard = network.guard[network.circuit_node]
    np.minimum.at(far, guard[guard >= 0], circuit_far[guard >= 0])
    for name, node in network.feed_node.items():
        device = int(network.guard[node])
        if device >= 0:
            far[device] = min(far[device], feed_far[name])
    if network.alternator >= 0:
        device = int(network.guard[network.consumers.supply_node[network.alternator]])
        if device >= 0:
            far[device] = min(far[device], lead_far)
    return far


def _segment_fault(network: Network, load_far: Floats, circuit_far: Floats, fuse_far: Floats) -> Floats:
    """The smallest short-circuit current through each guarded segment (S,): that of the loads it serves alone where
    it is a circuit's, that of all its device guards otherwise."""
    segments, consumers = network.segments, network.consumers
    is_load = consumers.kind == LOAD
    guarded = network.segment_guard >= 0
    fault = np.full(segments.count, np.nan)
    fault[guarded] = fuse_far[network.segment_guard[guarded]]
    supply, back = np.full(network.supply.count, np.inf), np.full(network.returns.count, np.inf)
    np.minimum.at(supply, network.circuit_node, circuit_far)
    np.minimum.at(supply, consumers.supply_node[is_load], load_far[is_load])
    np.minimum.at(back, consumers.return_node[is_load], load_far[is_load])
    for smallest, side in ((supply, guarded & ~segments.returns), (back, guarded & segments.returns)):
        own = smallest[segments.branch[side]]
        fault[side] = np.where(np.isfinite(own), own, fault[side])
    return _finite(fault)


def _end_c(network: Network, start_c: Floats, fault_a: Floats, heat_a2s: Floats, opens_s: Floats,
           limit_a: Floats) -> Floats:
    """Hottest each conductor gets before its device opens (S,).

    The let-through kept in the copper to the last joule is an upper bound for any device; where that is slow, the
    steady temperature at the fault current by the square law from the wire's ampacity is another, and the lower
    of the two holds.
    """
    segments = network.segments
    end_c = heated_c(start_c, heat_a2s, segments.area_mm2)
    slow = (opens_s > OPEN_WITHIN_S) & (limit_a > 0)
    steady_c = np.asarray(conductor_temperature(segments.ambient_c, segments.max_c, np.where(slow, fault_a, 0.0),
                                                np.where(slow, limit_a, 1.0)))
    steady_c = np.where(slow, np.maximum(steady_c, start_c), np.inf)
    return np.where(np.isnan(heat_a2s) | np.isnan(segments.area_mm2), np.nan, np.fmin(end_c, steady_c))


def _short_limits(insulation: list[str]) -> Floats:
    """Final temperature in a short by insulation (S,)."""
    limits = {name: _short_limit(name) for name in set(insulation)}
    return np.array([limits[name] for name in insulation], dtype=float)


def _short_limit(insulation: str) -> float:
    try:
        limit = insulations.insulation(insulation).short_c
    except TableError:
        return np.nan
    return np.nan if limit is None else limit


def survives(faults: Faults, index: int) -> bool | None:
    """Whether a segment outlives a short at the far end: None where nothing on file answers.

    Beyond 5 s the adiabatic sum overstates the heating: a slow device whose wire stays below the limit is safe, one
    above it is undecided, unless the device may never open.
    """
    end, limit = float(faults.segment_end_c[index]), float(faults.segment_limit_c[index])
    if np.isnan(end) or np.isnan(limit):
        return None
    if end <= limit:
        return True
    return None if OPEN_WITHIN_S < float(faults.segment_opens_s[index]) < np.inf else False


def outlived(network: Network, faults: Faults, device: int, kind: str, rating_a: float) -> bool:
    """Whether no segment a device guards passes its limit in a short with another type and rating in its place."""
    guarded = np.flatnonzero(network.segment_guard == device)
    return outlived_by(network, guarded, faults.segment_fault_a, faults.start_c, kind, rating_a)


def outlived_by(network: Network, guarded: Ints, fault_a: Floats, start_c: Floats, kind: str, rating_a: float) -> bool:
    """The same for the segments `guarded`, from the currents and start temperatures of all (S,)."""
    limit_c = _short_limits([network.segments.insulation[each] for each in guarded.tolist()])
    heat = let_through_a2s(kind, rating_a, fault_a[guarded])
    end_c = heated_c(start_c[guarded], heat, network.segments.area_mm2[guarded])
    return not bool((end_c > limit_c).any())
