"""How the fuse window came about: what the load needs at least, what the wires allow at most."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain import wire_work
from fuseplan.checks.explain.demand_work import branch_demand
from fuseplan.checks.explain.places import segment_address
from fuseplan.checks.explain.steps import ambient_of, entered, figure, given, larger
from fuseplan.checks.rejected import rejected_reason
from fuseplan.engine.fusing import ladder, propose
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.results import Results
from fuseplan.formulas.fuse import largest_fuse, load_share, smallest_fuse
from fuseplan.formulas.working import apply, note
from fuseplan.quantities import writing
from fuseplan.tables import ampacity as ampacity_tables
from fuseplan.tables import fuses as fuse_tables


def path_of(results: Results, index: int) -> str:
    """Path of a protective device in the plan."""
    return segment_address(results.network.fuses[index].owner, "fuse")


def ambient_k(results: Results, index: int) -> float:
    """Ambient factor of a device at its holder."""
    row, rule = results.network.fuses[index], results.limit_set.fuse
    ambient_c = ambient_of("ambient at the holder", results.network.places.holder(row.owner, row.fuse),
                           path_of(results, index))
    k = float(results.fusing.ambient_k[index])
    if rule.ambient == "none":
        return given("f", "no ambient factor is printed", k, "-", f"limits {results.limit_set.name}")
    return given("f", f"what the fuse may carry at {writing.burden(ambient_c, '°C')} over what it may at "
                      f"{writing.stated(rule.ambient_reference_c, '°C')}, straight line between the printed "
                 "temperatures, at most 1", k, "-",
                 fuse_tables.ambient_fractions().source.line())


def low(results: Results, index: int, corner: int = 0) -> float:
    """Smallest rating the load allows."""
    rule, node = results.limit_set.fuse, int(results.network.fuse_node[index])
    k = ambient_k(results, index)
    share = given("s", "share of its rating a fuse may carry "
                       "lastingly", rule.continuous_share, "-", rule.continuous_source)
    lasting = branch_demand(results, False, node, CONTINUOUS, corner)
    for_lasting = float(apply(smallest_fuse, load=lasting, share=share, ambient_factor=k))
    share = given("s", "share of its rating for what lasts up to five minutes", rule.intermittent_share, "-",
                  f"limits {results.limit_set.name}, fuse.intermittent_share")
    demand = results.demands.supply[corner, :, node]
    if float(demand.max()) == float(demand[CONTINUOUS]):
        short = given("I", "what lasts up to five minutes: no more than lasts for good", lasting, "A",
                      "the continuous demand above")
    else:
        short = larger("I", "what lasts up to five minutes", [branch_demand(results, False, node, FIVE_MIN, corner),
                                                             branch_demand(results, False, node, FIVE_S, corner)], "A")
    for_short = float(apply(smallest_fuse, load=short, share=share, ambient_factor=k))
    return larger("Iᵣ", "smallest rating the load allows", [for_lasting, for_short], "A")


def high(results: Results, index: int) -> float:
    """Largest rating the wires allow: that of the segment that bears least."""
    network, rule = results.network, results.limit_set.fuse
    binding = int(results.fusing.binding[index])
    segments = network.segments
    place = segment_address(segments.owner[binding], segments.place[binding])
    note("w", f"of all wires this device guards, down to the next one, {place} sets the limit",
         str(segments.segment[binding].size), "-", "choice: the wire that allows the smallest fuse")
    bears = wire_work.ampacity(results, wire_work.worst_condition(results, binding), binding)
    if rule.wire_table is None:
        multiple = given("m", "largest fuse as a multiple of what the wire bears", rule.wire_multiple or 1.0, "-",
                         rule.wire_source)
        return float(apply(largest_fuse, ampacity=bears, multiple=multiple))
    rows = ampacity_tables.protector_rows(rule.wire_table)
    printed = given("Iᵣ", "fuse printed for the wire, next row down",
                    float(rows.largest_fuse_for_area(segments.area_mm2[binding])), "A", rows.source.line())
    base = float(segments.base_a[binding])
    cut = given("m", f"cut as far as the wire's {figure(bears)} A is below the printed {figure(base)} A",
                min(bears / base, 1.0), "-", f"limits {results.limit_set.name}: never more than printed")
    return float(apply(largest_fuse, ampacity=printed, multiple=cut))


def window(results: Results, index: int) -> str:
    """Both ends."""
    from_a, to_a = low(results, index), high(results, index) if results.fusing.binding[index] >= 0 else np.inf
    words = window_words(from_a, to_a)
    note("Iᵣ", "fuse window, from load to wire", words, "A", "the two ends above")
    return words


def window_words(low_a: float, high_a: float) -> str:
    """A window as text: both ends as they are written elsewhere."""
    low = writing.SMALLEST_FUSE(low_a).removesuffix(" A")
    return f"{low} to {writing.LARGEST_FUSE(high_a).removesuffix(' A')}" if np.isfinite(high_a) else f"{low} and up"


def proposed(results: Results, index: int) -> float:
    """The first standard rating in the window that passes the other checks on a rating, from the upper bound of the
    evidence up, then from there down to what the load as entered allows."""
    row = results.network.fuses[index]
    upper, entered_low, top = low(results, index, 1), low(results, index, 0), float(results.fusing.high_a[index])
    if results.fusing.binding[index] >= 0:
        top = high(results, index)
    found = float(results.fusing.proposed_a[index])
    least = propose(row.fuse.kind, entered_low, upper, float(results.fusing.high_a[index]))
    covers = least >= upper * (1 - 1e-9)
    source = fuse_tables.ratings(row.fuse.kind)
    listed = source.source.line() if source else "no ratings on file"
    least = given("Iᵣ", f"smallest standard rating of a {row.fuse.kind} fuse "
                        f"({', '.join(map(figure, ladder(row.fuse.kind)))}) from "
                        f"{figure(upper if covers else entered_low)} "
                        f"({'at the upper bound of the evidence' if covers else 'as entered'})"
                        f"{f' to {figure(top)}' if np.isfinite(top) else ' and up'}",
                  least, "A", listed)
    if found == least:
        return found
    return given("Iᵣ", f"first rating that passes the other checks on a rating: {figure(least)} A "
                       f"{rejected_reason(results, index, least)}", found, "A", listed)


def rating(results: Results, index: int) -> float:
    """The rating in force."""
    value = results.network.fuses[index].fuse.rating
    if value is not None:
        return entered("Iᵣ", "rating in the plan", float(value), "A", f"{path_of(results, index)}.rating")
    return proposed(results, index)


def share(results: Results, index: int) -> float:
    """Continuous demand as a share of the rating in force."""
    lasting = branch_demand(results, False, int(results.network.fuse_node[index]), CONTINUOUS)
    return float(apply(load_share, load=lasting, rating=rating(results, index)))
