"""How a short circuit's figures came about: the current through the real loop, the time, the heat left in the wire."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.explain import battery_work
from fuseplan.checks.explain.path_work import devices_in_series, fuse_in_series, path
from fuseplan.checks.explain.steps import entered, figure, given, larger, smaller, total
from fuseplan.checks.explain.wire_work import ambient_c, ampacity, area, length, worst_condition
from fuseplan.engine.clearing import greatest_time_s, let_through_a2s, limits
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.fault import OPEN_WITHIN_S
from fuseplan.engine.ratios import COPPER_MELTS_C
from fuseplan.engine.results import Results
from fuseplan.formulas.adiabatic import adiabatic_temperature
from fuseplan.formulas.battery import short_circuit_current
from fuseplan.formulas.fuse import load_share
from fuseplan.formulas.resistance import copper_temperature_factor, wire_resistance
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.formulas.working import apply
from fuseplan.quantities import writing
from fuseplan.results.naming import branch_words, consumer_words, place_path
from fuseplan.tables import conductors

Floats = NDArray[np.float64]
Candidate = tuple[float, Callable[[], float]]
SERIES = "resistances in series add"


def _branch(results: Results, returns: bool, node: int, temperature_c: Floats, why_c: str, most: bool) -> float:
    """Resistance of one branch with its wires at given temperatures; `most` as for `devices_in_series`."""
    network, segments = results.network, results.network.segments
    words, parts = branch_words(network, returns)[node], []
    for index in np.flatnonzero((segments.branch == node) & (segments.returns == returns)).tolist():
        size = segments.segment[index].size
        if size is None or np.isnan(segments.length_m[index]) or np.isnan(segments.area_mm2[index]):
            continue
        found = conductors.conductor(size.system, size.name)
        at = place_path(segments.owner[index], segments.place[index])
        r20 = given("r₂₀", f"resistance of {size} at 20 °C", found.r20_ohm_per_m, "ohm/m", found.source.line())
        metres = length(results, index)
        warm = given("T", f"{at}, {why_c}", float(temperature_c[index]), "°C", "see the wire's own temperature")
        k = apply(copper_temperature_factor, temperature_c=warm)
        parts.append((at, float(apply(wire_resistance, r20_ohm_per_m=r20, length_m=metres, temperature_factor=k))))
    parts += devices_in_series(results, returns, node, most)
    return total("R", f"{words}, in series", parts, "ohm", SERIES)


def _way(results: Results, returns: bool, node: int, temperature_c: Floats, why_c: str,
         most: bool = True) -> list[tuple[str, float]]:
    network = results.network
    tree = network.returns if returns else network.supply
    words = branch_words(network, returns)
    return [(words[at], _branch(results, returns, at, temperature_c, why_c, most)) for at in (0, *path(tree, node))]


HOT = "as hot as it gets in service"


def _loop(results: Results, ways: Iterable[tuple[str, float]], strongest: bool = False) -> float:
    emf = battery_work.open_circuit(results)
    inner = battery_work.strongest(results) if strongest else battery_work.internal(results, cold=True)
    loop = total("R", "the whole loop", list(ways), "ohm", SERIES)
    return float(apply(short_circuit_current, emf_v=emf, internal_ohm=inner, loop_ohm=loop))


def load_far(results: Results, consumer: int) -> float:
    """Short across a load's terminals: battery alone and cold, conductors hot."""
    consumers, start = results.network.consumers, results.faults.start_c
    out = _way(results, False, int(consumers.supply_node[consumer]), start, HOT)
    back = _way(results, True, int(consumers.return_node[consumer]), start, HOT)
    return _loop(results, [*out, *back])


def _body(results: Results) -> list[tuple[str, float]]:
    """The way back through the body earth with the most resistance, engine earths left out."""
    network, start = results.network, results.faults.start_c
    ways = [_way(results, True, node, start, HOT) for name, node in network.earth_node.items()
            if name in network.plan.earth and not network.plan.earth[name].engine]
    return max(ways, key=lambda way: math.fsum(ohm for _, ohm in way), default=[])


def feed_far(results: Results, name: str) -> float:
    """Short from a feed to the body beside it."""
    node = results.network.feed_node[name]
    out = _way(results, False, node, results.faults.start_c, HOT)
    return _loop(results, [*out, *_body(results)])


def lead_far(results: Results) -> float:
    """Short of the alternator cable at the alternator."""
    consumers, number, start = results.network.consumers, results.network.alternator, results.faults.start_c
    out = _way(results, False, int(consumers.supply_node[number]), start, HOT)
    engine = _way(results, True, int(consumers.return_node[number]), start, HOT)
    back = max(_body(results), engine, key=lambda way: math.fsum(ohm for _, ohm in way))
    return _loop(results, [*out, *back])


def candidates(results: Results, device: int) -> list[Candidate]:
    """All far ends a device guards, each with its current and its work."""
    network, faults, found = results.network, results.faults, []
    consumers = network.consumers
    for consumer in np.flatnonzero(consumers.kind == LOAD).tolist():
        if int(network.guard[network.circuit_node[int(consumers.circuit[consumer])]]) == device:
            found.append((float(faults.load_far_a[consumer]), _work(load_far, results, consumer)))
    for name, node in network.feed_node.items():
        if int(network.guard[node]) == device:
            found.append((faults.feed_far_a[name], _work(feed_far, results, name)))
    if network.alternator >= 0 and int(network.guard[int(consumers.supply_node[network.alternator])]) == device:
        found.append((math.nan, lambda: lead_far(results)))
    return found


def _work(function: Callable[..., float], results: Results, *arguments: object) -> Callable[[], float]:
    return lambda: function(results, *arguments)


def circuit_far(results: Results, number: int) -> float:
    """The smallest of a circuit's loads."""
    faults, consumers = results.faults, results.network.consumers
    members = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD))
    worst = int(members[faults.load_far_a[members].argmin()])
    if len(members) > 1:
        smaller("I", f"short at the far end of each load; {consumer_words(results.network, worst)} decides",
                [float(each) for each in faults.load_far_a[members]], "A")
    return load_far(results, worst)


def device_far(results: Results, device: int) -> float:
    """The smallest far-end current among all a device guards."""
    return nearest(candidates(results, device), float(results.faults.fuse_far_a[device]))


def nearest(found: list[Candidate], value: float) -> float:
    """The work of the candidate that gave a figure; one whose current is not listed is the last resort."""
    listed = [each for each in found if math.isfinite(each[0])]
    best = min(listed, key=lambda each: abs(each[0] - value), default=None)
    if best is not None and math.isclose(best[0], value, rel_tol=1e-9):
        return best[1]()
    return next(work for current, work in found if not math.isfinite(current))()


def prospective(results: Results, device: int) -> float:
    """Largest current just behind a device: warm battery, cold conductors, of fuses only what is printed, and the
    alternator's rated output."""
    network = results.network
    cold = np.minimum(network.segments.ambient_c, 20.0)
    node = int(network.fuse_node[device])
    ways = _way(results, False, int(network.supply.parent[node]), cold, "as cold as it may be", most=False)
    ways += fuse_in_series(results, node, most=False)
    battery = _loop(results, ways, strongest=True)
    machine = battery_work.rated(results) if results.source.alternator_known else given(
        "Iᵣ", "no alternator known: it adds nothing", 0.0, "A", "the plan")
    return total("I", "together", [("battery", battery), ("alternator at its rated output", machine)], "A")


def opens(results: Results, device: int, far_a: Callable[[], float]) -> float:
    """Greatest opening time of a device at a current."""
    kind, rated = results.network.fuses[device].fuse.kind, float(results.fusing.rating_a[device])
    current = far_a()
    rating = given("Iᵣ", f"rating in force of the {kind} fuse", rated, "A", "the plan, or proposed")
    multiple = float(apply(load_share, load=current, rating=rating))
    return given("t", f"greatest opening time at {writing.worked(multiple)} times the rating, worst of the documents "
                      f"on file",
                 float(greatest_time_s(kind, rated, np.array([current]))[0]), "s", limit_cite(kind, rated))


def limit_cite(kind: str, rated: float) -> str:
    """Documents a device's opening limits are printed in."""
    found = limits(kind, rated)
    return "; ".join(dict.fromkeys(each.line() for each in found.sources)) if found else "no limits on file"


def segment_far(results: Results, index: int) -> float:
    """Smallest short-circuit current through a segment."""
    network, faults = results.network, results.faults
    segments, consumers = network.segments, network.consumers
    node, returns = int(segments.branch[index]), bool(segments.returns[index])
    loads = network.load_consumers
    served = (consumers.return_node if returns else consumers.supply_node)[loads] == node
    if not returns:
        served |= network.circuit_node[consumers.circuit[loads]] == node
    found: list[Candidate] = [(float(faults.load_far_a[each]), _work(load_far, results, each))
                              for each in loads[served].tolist()]
    guarded = found or candidates(results, int(network.segment_guard[index]))
    return nearest(guarded, float(faults.segment_fault_a[index]))


def segment_end(results: Results, index: int) -> float:
    """Hottest a conductor gets before its device opens: no heat lost, or steady at that current, whichever is less."""
    network, faults = results.network, results.faults
    device = int(network.segment_guard[index])
    kind, rated = network.fuses[device].fuse.kind, float(results.fusing.rating_a[device])
    current = segment_far(results, index)
    heat = float(let_through_a2s(kind, rated, np.array([current]))[0])
    time = float(faults.segment_opens_s[index])
    start = given("T₁", "conductor before the short: hottest in service", float(faults.start_c[index]), "°C",
                  "see the wire's own temperature")
    answers = []
    if math.isfinite(heat):
        given("E", f"most I²t a {kind} fuse of {figure(rated)} A may let through at that current", heat, "A²s",
              limit_cite(kind, rated))
        root = given("I", "the current that brings that heat in one second", math.sqrt(heat), "A", "definition of I²t")
        second = given("t", "that second", 1.0, "s", "definition")
        answers.append(float(apply(adiabatic_temperature, initial_c=start, current_a=root, time_s=second,
                                   area_mm2=area(results, index))))
    limit = float(results.segment_limit_a[index])
    if time > OPEN_WITHIN_S and limit > 0:
        bears = ampacity(results, worst_condition(results, index), index)
        top = entered("Tₘ", "what its insulation is rated for under this set of limits",
                      float(network.segments.max_c[index]), "°C", "insulation")
        steady = float(apply(conductor_temperature, ambient_c=ambient_c(results, index), max_c=top, current_a=current,
                             ampacity_a=bears))
        answers.append(larger("T", "steady at that current, never below where it began", [steady, start], "°C"))
    melts = given("T", "copper melts", COPPER_MELTS_C, "°C", "physical constant, from memory")
    return smaller("T", "hottest before the device opens", [*answers, melts], "°C")
