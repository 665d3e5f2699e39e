"""How a stretch of wire came by its length, resistance, temperature and ampacity."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain.steps import ambient_of, entered, figure, given, solved, total
from fuseplan.engine.ambient import Place
from fuseplan.engine.neighbours import counted
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.engine.still_wire import DISAGREES
from fuseplan.engine.warming import HOTTEST_SHARE, SHORTEST_HEATING_S, loading_currents
from fuseplan.engine.wiring import ALLOWANCE
from fuseplan.formulas.resistance import copper_temperature_factor, wire_resistance
from fuseplan.formulas.thermal import conductor_temperature, derated_ampacity, rise_factor
from fuseplan.formulas.working import apply
from fuseplan.quantities import writing
from fuseplan.results.naming import place_path
from fuseplan.tables import conductors, factors, insulations

HEAT_BALANCE = ("heat balance of one wire in still air: Churchill–Chu for a horizontal cylinder, radiation, conduction "
                "through the insulation (see the convection formulas)")


def length(results: Results, index: int) -> float:
    """Length of a segment: its own, or that of its runs with an allowance."""
    segments, plan = results.network.segments, results.plan
    segment, path = segments.segment[index], place_path(segments.owner[index], segments.place[index])
    if segment.length is not None:
        return entered("L", "length, one way", float(segment.length), "m", f"{path}.length")
    parts = [(f"run {name}", float(plan.run[name].length or 0.0)) for name in segment.along or ()]
    along = total("L₀", "length of the runs it lies along", parts, "m", f"the plan, {path}.along")
    return given("L", f"{figure(along)} and {writing.stated(ALLOWANCE, 'share')} more for ends, loop and "
                      "bends", along * (1.0 + ALLOWANCE), "m",
                 "common practice, no source")


def area(results: Results, index: int) -> float:
    """Cross-section of the size named."""
    segments = results.network.segments
    size = segments.segment[index].size
    assert size is not None
    found = conductors.conductor(size.system, size.name)
    return given("S", f"cross-section of {size}", found.area_mm2, "mm²", found.area_source.line())


def resistance(results: Results, solution: Solution, row: int, index: int) -> float:
    """Resistance of a segment at its temperature in one row of a solution."""
    segments = results.network.segments
    size = segments.segment[index].size
    if size is None or np.isnan(segments.length_m[index]) or np.isnan(segments.area_mm2[index]):
        return given("R", "size or length not given: counted as nothing", 0.0, "ohm", "the plan")
    found = conductors.conductor(size.system, size.name)
    r20 = given("r₂₀", f"resistance of {size} at 20 °C", found.r20_ohm_per_m, "ohm/m", found.source.line())
    metres = length(results, index)
    hot = temperature(results, solution, row, index)
    k = apply(copper_temperature_factor, temperature_c=hot)
    return float(apply(wire_resistance, r20_ohm_per_m=r20, length_m=metres, temperature_factor=k))


def temperature(results: Results, solution: Solution, row: int, index: int) -> float:
    """Conductor temperature of a segment in one row of a solution, from its own ampacity by the square law."""
    network, segments = results.network, results.network.segments
    conditions = len(network.conditions)
    condition = row % conditions
    ambient = ambient_c(results, index)
    if network.duration_s[condition] < SHORTEST_HEATING_S:
        return given("T", f"'{network.condition_ids[condition]}' lasts less than "
                          f"{writing.stated(SHORTEST_HEATING_S, 's')}: the wire is taken at its "
                     "ambient", ambient, "°C", "common practice, no source")
    limit, top = float(solution.ampacity_a[condition, index]), float(segments.max_c[index])
    if np.isnan(limit) or limit <= 0.0 or top <= ambient:
        why = "no current is on file for it" if np.isnan(limit) else "its ambient is at its insulation's limit"
        return given("T", f"{why}: taken at its ambient", ambient, "°C", results.limit_set.name)
    limit = ampacity(results, condition, index)
    current = solved("I", "current in "
                          f"'{network.condition_ids[condition]}'", float(solution.segment_a[row, index]), "A",
                     solution)
    side = solution.wires.returns if segments.returns[index] else solution.wires.supply
    most = float(side.cap[condition, segments.branch[index]])
    if current > most:
        current = given("I", f"heating is not followed beyond {writing.stated(HOTTEST_SHARE)} times the ampacity of "
                             f"the "
                             f"thinnest wire of this branch: it has failed long before, and the square law does not "
                             f"hold", most, "A", "limit of this program")
    top = given("Tₘ", f"what {segments.insulation[index]} is rated for under this set of limits", top, "°C",
                _class_cite(results, index))
    return float(apply(conductor_temperature, ambient_c=ambient, max_c=top, current_a=current, ampacity_a=limit))


def ambient_c(results: Results, index: int) -> float:
    """Ambient of the part of a segment that carries least."""
    segments = results.network.segments
    wanted = float(segments.ambient_c[index])
    places = (place_of(results, index, number) for number in range(int((segments.pair_segment == index).sum())))
    return ambient_of("ambient", next(place for place in places if place.ambient_c == wanted),
                      place_path(segments.owner[index], segments.place[index]))


def place_of(results: Results, index: int, number: int) -> Place:
    """Where one part of a segment lies, by its number along the wire."""
    segments = results.network.segments
    return results.network.places.stretches(segments.owner[index], segments.segment[index])[number][1]


def _class_cite(results: Results, index: int) -> str:
    segments = results.network.segments
    rated = segments.rated[index]
    if rated is not None and rated.by_class:
        return rated.source.line()
    return insulations.insulation(segments.insulation[index]).source.line()


def worst_condition(results: Results, index: int) -> int:
    """The condition that sets a segment's ampacity: the worst in which it carries current, or of all."""
    conditions = len(results.network.conditions)
    limits = results.solution.ampacity_a[:, index]
    carries = results.solution.segment_a[:conditions, index] > 0
    return int(np.where(carries, limits, np.inf).argmin()) if carries.any() else int(limits.argmin())


def ampacity(results: Results, condition: int, index: int) -> float:
    """Ampacity of a segment in one condition: printed current × ambient factor × grouping factor, worst stretch."""
    network, segments, limit_set = results.network, results.network.segments, results.limit_set
    counts = _counts(results)[condition]
    pairs = np.flatnonzero(segments.pair_segment == index)
    limited = segments.pair_single_a[pairs] * limit_set.group_factor(counts[pairs])
    pair = int(pairs[int(limited.argmin())])
    base, factor = _alone(results, index, pair)
    count, run = int(counts[pair]), int(segments.pair_run[pair])
    group = float(limit_set.group_factor(np.array([count]))[0])
    if limit_set.group.table is None:
        given("g", limit_set.group.basis, group, "-", f"limits {limit_set.name}")
    else:
        where = f"run {tuple(network.plan.run)[run]} in '{network.condition_ids[condition]}'" if run >= 0 else "no run"
        given("g", f"{count} conductors counted{factors.conductors_count_as(limit_set.group.table)}, {where}; "
                   f"{limit_set.group.basis}", group,
              "-", factors.group_source(limit_set.group.table).line())
    return float(apply(derated_ampacity, ampacity_a=base, ambient_factor=factor, group_factor=group))


def _alone(results: Results, index: int, pair: int) -> tuple[float, float]:
    """Current of one stretch with nothing beside it, and the ambient factor still to be applied to it."""
    base, factor = _printed(results, index, pair)
    lower = float(results.network.segments.pair_single_a[pair])
    if lower >= base * factor * (1.0 - DISAGREES):
        return base, factor
    lower = given("I₀", f"a heat balance lets it carry less than {figure(base * factor)} A there, by more than "
                  f"{writing.stated(DISAGREES, 'share')}: the lower holds, and ambient is in "
                  f"it", lower, "A", HEAT_BALANCE)
    return lower, given("f", "ambient is in it already", 1.0, "-", HEAT_BALANCE)


def _printed(results: Results, index: int, pair: int) -> tuple[float, float]:
    """Printed current of a conductor, and the ambient factor of one stretch."""
    segments = results.network.segments
    rated, size = segments.rated[index], segments.segment[index].size
    assert rated is not None
    path = place_path(segments.owner[index], segments.place[index])
    place = place_of(results, index, pair - int(segments.first_pair[index]))
    at = ambient_of("ambient of the part that carries least", place, path)
    base = given("I₀", f"printed current for {size}, {rated.row}" + (
        f", {writing.stated(rated.printed_c, '°C')} column" if rated.by_class and rated.printed_c is not None else ""),
        rated.base_a, "A", rated.source.line())
    return base, _ambient_factor(results, index, at)


def _ambient_factor(results: Results, index: int, ambient: float) -> float:
    segments = results.network.segments
    rated = segments.rated[index]
    assert rated is not None
    top = given("Tₘ", f"what {segments.insulation[index]} is rated for under this set of limits", rated.max_c, "°C",
                _class_cite(results, index))
    if ambient > top:
        top = given("Tₘ", "the ambient is above the limit: nothing is left", ambient, "°C", "definition")
    rise = given("Δθ", "conductor rise the printed current stands for", rated.rise_k, "K",
                 f"limits {results.limit_set.name}: {rated.basis}")
    factor = float(apply(rise_factor, max_c=top, ambient_c=ambient, rise_k=rise))
    if factor > rated.largest_factor:
        factor = given("f", "the printed current is never raised", rated.largest_factor, "-",
                       f"limits {results.limit_set.name}: {rated.basis}")
    if ambient > rated.reference_c and factor > rated.warm_factor and rated.warm_source is not None:
        factor = given("f", f"above {writing.stated(rated.reference_c, '°C')} the engine-space factor of the "
                            "class", rated.warm_factor, "-",
                       rated.warm_source.line())
    return factor


def _counts(results: Results) -> np.ndarray[tuple[int, int], np.dtype[np.int64]]:
    """Conductors counted beside every stretch in every condition, from the currents as entered."""
    network = results.network
    return counted(network.segments, len(network.plan.run), loading_currents(network), results.limit_set)
