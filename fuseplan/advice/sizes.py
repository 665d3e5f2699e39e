"""Standard wire sizes one step up."""

from __future__ import annotations

import math

from fuseplan.advice.edit import segment_key
from fuseplan.checks.fixes import largest_fuse_a
from fuseplan.checks.terminals_on_wires import terminals_on_wires
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.engine.stock import AtHand, Size
from fuseplan.errors import TableError
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import wires_of
from fuseplan.plan.parts import Segment
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import terminals


def sizes_above(limit_set: LimitSet, stock: AtHand, system: str, area_mm2: float, insulation: str) -> tuple[Size, ...]:
    """Sizes above an area, those in stock before thicker ones, for which the set of limits prints a current."""
    return tuple(size for size in stock.sizes(system) if size.area_mm2 > area_mm2 * 1.0001
                 and limit_set.ampacity(WireSize.read(size.words), insulation) is not None)


def steps_up(results: Results, index: int) -> tuple[Size, ...]:
    """Sizes above that of a segment, ascending; none where its own size is not known."""
    segments = results.network.segments
    size = segments.segment[index].size
    if size is None or not segments.area_mm2[index] > 0:
        return ()
    try:
        return sizes_above(results.limit_set, results.network.stock, size.system, float(segments.area_mm2[index]),
                           segments.insulation[index])
    except TableError:
        return ()


def towards(results: Results, index: int, rating_a: float) -> Size:
    """The next size of a segment, or a thicker one where a fuse of a rating asks for more than that: the last before
    the one that by the look of it is rated for it, as what lies around it may change yet."""
    steps = steps_up(results, index)
    enough = next((place for place, step in enumerate(steps)
                   if at_most(rating_a, largest_fuse_a(results, index, WireSize.read(step.words)))), 0)
    return steps[max(enough - 1, 0)]


def too_thick(results: Results) -> dict[Path, str]:
    """In words, which terminals at the ends of wires, or in relay sockets, no wire so thick is on file for, by the path
    of its size."""
    found: dict[Path, str] = {}
    for index, terminal, _ in terminals_on_wires(results):
        area = float(results.network.segments.area_mm2[index])
        if terminal in terminals.TERMINALS and not math.isnan(area):
            most = terminals.wires_taken_mm2(terminal).value[1]
            if not at_most(area, most):
                found[(*segment_key(results, index), "size")] = \
                    f"the thickest wire on file for the {terminals.TERMINALS[terminal].partition(',')[0]} on it has " \
                    f"{writing.limit(most, 'mm²')}: fit one made for this wire"
    return found


def smallest(plan: Plan) -> str:
    """The smallest size proposed where a plan gives none."""
    return AtHand(plan.stock).sizes(usual_system(plan))[0].words


def usual_system(plan: Plan) -> str:
    """The system of sizes most of a plan's wires are given in."""
    counted: dict[str, int] = {"mm2": 0}
    for segment in all_segments(plan):
        if segment.size is not None:
            counted[segment.size.system] = counted.get(segment.size.system, 0) + 1
    return max(counted, key=lambda system: counted[system])


def all_segments(plan: Plan) -> list[Segment]:
    """Every segment of a plan."""
    return [segment for _, _, wire in wires_of(plan) for segment in wire]
