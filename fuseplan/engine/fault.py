"""Short circuits: what current flows at each protective device and at the far end of each branch, and whether the
device opens in time; what the wires make of it is in `short_heating.py`."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.at_limit import exceeds, within
from fuseplan.engine.bodies import bodies_of
from fuseplan.engine.clearing import OPEN_WITHIN_S, limits, loose_above
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.devices import Devices
from fuseplan.engine.network import Network
from fuseplan.engine.ratios import melting
from fuseplan.engine.second_batteries import joined_of, label_of, supplied_ohm
from fuseplan.engine.short_heating import end_c_of, short_limits_c
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source, battery_known, internal_ohm, strongest_ohm
from fuseplan.engine.unprinted_times import STATED_SOURCE, fill
from fuseplan.engine.warming import branch_ohm, hot_ohm
from fuseplan.formulas.battery import short_circuit_current
from fuseplan.formulas.fuse import load_share
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.trace import apply, bare, blank, chosen, decided, given, number, recording, together
from fuseplan.trace.vocabulary import IN_SERIES


@dataclass(frozen=True)
class FarEnds:
    """The smallest short-circuit currents [A], whatever the ratings: what `Faults` rests on."""

    load_a: Floats
    """Per consumer (L,); infinite for what is neither a load nor a coil with a wire of its own."""
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
    a feed to the body beside it, through the body earth with the most resistance, where a bar at the end of a wire, to
    which nothing is bolted, is no body; the alternator cable at its start, through that or the engine's own earth,
    whichever has more; a relay coil with a wire of its own across its terminals. ``prospective_*`` is the largest, just
    behind the device: warm battery and the alternator's rated output together, conductors cold, straight to battery
    negative.
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
    prospective_labelled_a: Floats
    """The same without second batteries of which nothing is known (J,)."""
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
    names, ohm = network.names, hot_ohm(network, segment_c)
    supply = branch_ohm(network, False, ohm, network.supply_base if taken else network.supply_given, fuse_ohm)
    back = branch_ohm(network, True, ohm, network.returns_base if taken else network.returns_given, fuse_ohm)
    return (network.supply.path_drops(supply, "the way out", names.supply, IN_SERIES),
            network.returns.path_drops(back, "the way back", names.returns, IN_SERIES))


def least_way_ohm(network: Network, fuse_ohm: Floats) -> Floats:
    """Resistance of the wires from the battery out to each consumer and back [ohm], at 20 °C, what is not known or
    only assumed left out (L,)."""
    supply, back = least_path_ohm(network, fuse_ohm)
    return supply[network.consumers.supply_node] + back[network.consumers.return_node]


def least_path_ohm(network: Network, fuse_ohm: Floats) -> tuple[Floats, Floats]:
    """The same from the battery to each supply node (N,) and to each return node (M,)."""
    return _path_ohm(network, np.full(network.segments.count, 20.0), fuse_ohm, taken=False)


def far_ends_of(network: Network, source: Source, solution: Solution, fuse_ohm: Floats,
                inner_ohm: float | None = None) -> FarEnds:
    """The smallest short-circuit currents; `fuse_ohm` is what each device's resistance does not exceed (J,),
    `inner_ohm` the battery's, that of a cold one where left out."""
    consumers = network.consumers
    start_c = _start_c(network, solution)
    supply_ohm, return_ohm = _path_ohm(network, start_c, fuse_ohm)
    emf = number(source.open_circuit_v[0])
    inner = internal_ohm(network.plan.battery, network.system_v, cold=True) if inner_ohm is None else inner_ohm

    is_load = consumers.kind == LOAD
    load_far = np.asanyarray(chosen(is_load | np.logical_or(*network.coils_wired), _short(
        emf, inner, supply_ohm[consumers.supply_node], return_ohm[consumers.return_node]), np.inf,
        "neither a load nor a coil with a wire of its own"))
    circuit_far = blank(len(network.circuit_ids), np.inf)
    np.minimum.at(circuit_far, consumers.circuit[is_load], load_far[is_load])
    body = max((number(return_ohm[network.earth_node[name]]) for name in bodies_of(network)), default=0.0)
    at_feeds = _short(emf, inner, supply_ohm[[*network.feed_node.values()]], body)
    feed_far = dict(zip(network.feed_node, map(number, at_feeds), strict=True))
    lead_far = np.inf
    if network.alternator >= 0:
        lead = number(supply_ohm[consumers.supply_node[network.alternator]])
        engine = number(return_ohm[consumers.return_node[network.alternator]])
        lead_far = number(_short(emf, inner, lead, max(body, engine)))
    fuse_far = _by_guard(network, circuit_far, feed_far, lead_far, load_far)
    return FarEnds(load_far, feed_far, circuit_far, fuse_far,
                   _segment_fault(network, load_far, circuit_far, fuse_far), start_c)


def _short(emf_v: float, inner_ohm: float, out_ohm: Floats | float, back_ohm: Floats | float) -> Floats:
    """Short-circuit current through the battery and a way out and back [A]."""
    loop = together("the whole loop", [("the way out", out_ohm), ("the way back", back_ohm)], IN_SERIES)
    found: Floats = apply(short_circuit_current, emf_v=emf_v, internal_ohm=inner_ohm, loop_ohm=loop)
    return found


def faults_of(network: Network, source: Source, far: FarEnds, printed_ohm: Floats, devices: Devices, rating_a: Floats,
              limit_a: Floats) -> Faults:
    """Short-circuit currents and what becomes of fuses and wires.

    `printed_ohm` is what is printed of each device's resistance, for the most a short draws (J,), `rating_a` the
    ratings in force (J,). `limit_a` is the ampacity of each segment (S,).
    """
    segments = network.segments
    circuit_guard = network.guard[network.circuit_node]
    count, circuits = len(network.fuses), len(network.circuit_ids)
    asked = np.concatenate([np.arange(count), circuit_guard, network.segment_guard])
    opens, heat, loose = clears(network, devices, asked, np.concatenate([far.fuse_a, far.circuit_a, far.segment_a]),
                                rating_a)
    fuse_opens, circuit_opens, segment_opens = np.split(opens, [count, count + circuits])
    end_c = end_c_of(network, far.start_c, far.segment_a, heat[count + circuits:], segment_opens, limit_a)
    short_c = short_limits_c(segments.insulation)
    unproven = loose[count + circuits:] & exceeds(bare(end_c), short_c)
    if unproven.any():
        # Neither that the wire withstands a short is known, nor that it does not; a short elsewhere on which the same
        # device is too slow is no less one.
        guards = network.segment_guard[unproven]
        end_c = np.where(unproven, np.nan, end_c)
        fuse_opens, circuit_opens = (
            np.where(np.isin(guard, guards) & within(bare(opens_s), OPEN_WITHIN_S), np.nan, opens_s)
            for guard, opens_s in ((np.arange(count), fuse_opens), (circuit_guard, circuit_opens)))
    emf = number(source.open_circuit_v[0])
    prospective = _prospective(network, source, emf, printed_ohm)
    unlabelled = any(not battery_known(label_of(each)) for each in joined_of(network).values())
    return Faults(
        load_far_a=far.load_a, feed_far_a=far.feed_a, circuit_far_a=_finite(far.circuit_a),
        fuse_far_a=_finite(far.fuse_a),
        prospective_a=prospective,
        prospective_labelled_a=_prospective(network, source, emf, printed_ohm, unlabelled=False) if unlabelled
        else prospective,
        fuse_opens_s=fuse_opens, circuit_opens_s=circuit_opens,
        segment_fault_a=far.segment_a, segment_opens_s=segment_opens,
        segment_end_c=end_c, segment_limit_c=short_c, start_c=far.start_c,
    )


def clears(network: Network, devices: Devices, asked: Ints, current_a: Floats, rating_a: Floats
           ) -> tuple[Floats, Floats, Flags]:
    """(greatest opening time in s, most heat I²t let through in A²s, where both are far above what they may be) of
    devices (n,), -1 for none, at currents in A (n,); `rating_a` are the ratings in force (J,)."""
    if not len(rating_a):
        return np.full(len(asked), np.nan), np.full(len(asked), np.nan), np.zeros(len(asked), dtype=bool)
    of_type, rated = devices.type_of(asked), np.where(asked >= 0, bare(rating_a)[asked], np.nan)
    loose = bare(current_a) > rated * np.array([*(loose_above(*each) for each in devices.types), np.inf])[of_type]
    opens, heat, filled = fill(lambda place: network.fuses[int(asked[place])].fuse, bare(current_a), rated,
                               *devices.clears(of_type, bare(current_a)), loose)
    loose &= ~filled
    if not recording():
        return opens, heat, loose
    multiple = apply(load_share, load=current_a, rating=rating_a[asked])

    def cite(place: int) -> str:
        if filled[place]:
            return STATED_SOURCE
        found = limits(*devices.types[of_type[place]])
        return "; ".join(dict.fromkeys(each.line() for each in found.sources)) if found else "no limits on file"

    def device(place: int) -> str:
        kind, rating = devices.types[of_type[place]]
        return f"a {kind} fuse of {writing.worked(rating)} A"

    def by(place: int) -> str:
        if filled[place]:
            return "from the multiple at which it blows within 5 s: the heat I²t until then does not grow"
        return "worst of the documents on file, log-log interpolation between printed rows"

    return (decided(opens, "t", "s", lambda place: f"greatest opening time of {device(place)} at that multiple of its "
                    f"rating, {by(place)}", cite, multiple),
            decided(heat, "E", "A²s", lambda place: f"most I²t {device(place)} may let through at that current", cite,
                    current_a), loose)


def _finite(values: Floats) -> Floats:
    return np.where(np.isinf(values), np.nan, values)


def _start_c(network: Network, solution: Solution) -> Floats:
    """Hottest each conductor gets in service (S,), its ambient where it never carries current."""
    hottest = solution.segment_c[: len(network.conditions)].max(axis=0, initial=-np.inf)
    start: Floats = np.minimum(np.where(np.isfinite(hottest), hottest, network.segments.ambient_c), melting())
    return start


def _prospective(network: Network, source: Source, emf: float, fuse_ohm: Floats, unlabelled: bool = True) -> Floats:
    cool = given(20.0, "T", "°C", "a conductor as cold as it may be, no warmer than the tables' 20 °C",
                 "common practice, no source")
    cold, _ = _path_ohm(network, np.minimum(network.segments.ambient_c, cool), fuse_ohm, taken=False)
    first = strongest_ohm(network.plan.battery, network.system_v)
    inner: Floats | float = first
    loop: Floats = fuse_ohm
    if joined_of(network):
        inner = supplied_ohm(network, first, cold, unlabelled)
    else:
        loop = together("the loop up to the device", [("the way out", cold[network.supply.parent[network.fuse_node]]),
                                                      ("the device", fuse_ohm)], IN_SERIES)
    battery = apply(short_circuit_current, emf_v=emf, internal_ohm=inner, loop_ohm=loop)
    alternator_a = source.rated_a if source.alternator_known else \
        given(0.0, "Iᵣ", "A", "no alternator known: it adds nothing", "the plan")
    return np.asanyarray(together("together", [("battery", battery), ("alternator at its rated output", alternator_a)]))


def _by_guard(network: Network, circuit_far: Floats, feed_far: dict[str, float], lead_far: float,
              load_far: Floats) -> Floats:
    """The smallest far-end current among all a device guards (J,), infinite where nothing is known."""
    far: Floats = blank(len(network.fuses), np.inf)
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
    coils = np.flatnonzero(np.logical_or(*network.coils_wired))
    before = network.guard[network.consumers.supply_node[coils]]
    np.minimum.at(far, before[before >= 0], load_far[coils[before >= 0]])
    return far


def _segment_fault(network: Network, load_far: Floats, circuit_far: Floats, fuse_far: Floats) -> Floats:
    """The smallest short-circuit current through each guarded segment (S,): that of the loads it serves alone where
    it is a circuit's, that of all its device guards otherwise."""
    segments, consumers = network.segments, network.consumers
    ends_out, ends_back = ((consumers.kind == LOAD) | wired for wired in network.coils_wired)
    guarded = network.segment_guard >= 0
    fault = blank(segments.count, np.nan)
    fault[guarded] = fuse_far[network.segment_guard[guarded]]
    supply, back = blank(network.supply.count, np.inf), blank(network.returns.count, np.inf)
    np.minimum.at(supply, network.circuit_node, circuit_far)
    np.minimum.at(supply, consumers.supply_node[ends_out], load_far[ends_out])
    np.minimum.at(back, consumers.return_node[ends_back], load_far[ends_back])
    for smallest, side in ((supply, guarded & ~segments.returns), (back, guarded & segments.returns)):
        own = smallest[segments.branch[side]]
        fault[side] = np.where(np.isfinite(own), own, fault[side])
    return _finite(fault)
