"""How thick a wire may become for a drop: no thicker than a tradesman would fit for its fuse, and of a size that is
sold."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fuseplan.checks.cheapest_sizes import Path, cheapest
from fuseplan.checks.drop_ways import WireOnWay
from fuseplan.checks.fixes import ampacity_of, copper_mm2, size_of_copper, size_that_carries, sizes_for
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.noting import once
from fuseplan.engine.results import Results
from fuseplan.engine.stock import Size, ladder
from fuseplan.engine.warming import HOTTEST_SHARE
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize

LARGEST_TIMES = 6.0
"""No wire is proposed for a drop with more copper than this many times what its fuse asks for, 6 mm² for 1, nor named
by a check: the run is too long, or the supply point too far. Common practice, no source."""
SHARED_TIMES = 16.0
"""The same for the wire to a feed or a strap in which most of a drop is lost: it ends on studs, and is the one cause of
what fails behind it. Common practice, no source."""
COUNTED_MM2 = 1.0
"""Wire that might be thinner for its fuse counts as of this size. Common practice, no source."""
USUAL_V = 12.0
"""The system voltage these multiples are for. At 6 V the same load draws twice the current and may lose half the
voltage: for that a circuit's wire has four times the copper, of which its fuse asks for twice."""
MOST_STEPS = 2
"""A circuit's own wire is no more sizes than this above what its fuse asks for where a drop most arises elsewhere.
Common practice, no source."""


def most_times(results: Results, times: float) -> float:
    """How many times the copper a circuit's own wire may be given where it is `times` on 12 V."""
    return times * max(1.0, USUAL_V / results.network.system_v)


def _protected_mm2(results: Results, segment: int, rating_a: float) -> float | None:
    """Copper of the thinnest size that a fuse of a rating protects in the place of a segment."""
    size = None if math.isnan(rating_a) else size_that_carries(results, segment, rating_a, fuse=True, thinner=True)
    return None if size is None else copper_mm2(size)


def _asked_mm2(results: Results, segment: int) -> float | None:
    """What the fuse before a wire asks for; None where none stands before it, or the wire is thinner than that."""
    guard = int(results.network.segment_guard[segment])
    asked_mm2 = None if guard < 0 else _protected_mm2(results, segment, float(results.fusing.rating_a[guard]))
    return None if asked_mm2 is None or exceeds(asked_mm2, results.network.segments.area_mm2[segment]) else asked_mm2


def _loaded_mm2(results: Results, segment: int) -> float | None:
    """What the smallest fuse sold asks for that carries the load in the worst case: one too small is to become that."""
    guard = int(results.network.segment_guard[segment])
    if guard < 0:
        return None
    low_a = float(results.fusing.low_a[1, guard])
    return _protected_mm2(results, segment, next((each for each in ladder(results.network.fuse_kinds[guard])
                                                  if at_most(low_a, each)), low_a))


@once
def _counted_mm2(results: Results, segment: int) -> float:
    """Copper from which is counted how much a drop may ask for: of the size that the fuse before a wire asks for, as
    the one fitted may have grown for a drop already; of the one that the fuse its load asks for does, where that is
    thicker. A wire that is thinner than its fuse asks for, or has none before it, counts as it is."""
    own_mm2 = float(results.network.segments.area_mm2[segment])
    asked_mm2, loaded_mm2 = _asked_mm2(results, segment), _loaded_mm2(results, segment)
    if asked_mm2 is None and loaded_mm2 is None:
        return own_mm2
    return max(own_mm2 if asked_mm2 is None else asked_mm2, loaded_mm2 or 0.0, COUNTED_MM2)


def sized(results: Results, wires: Sequence[tuple[WireOnWay, float]], largest: float = LARGEST_TIMES
          ) -> dict[int, str] | None:
    """The sizes for little copper with which the wire of one part, on the way of each of some loads, loses so many
    times less; None where none is sold, or it has more than may be fitted, `largest` times what its fuse asks for, on
    12 V if it is a circuit's own. One that needs more than `SHARED_TIMES` what it has is far too thin for its load, and
    with so much less in it more is lost elsewhere."""
    if any(times > SHARED_TIMES for _, times in wires):
        return None
    largest = most_times(results, largest) if wires[0][0].is_own else largest
    most: dict[int, float] = {}
    for wire, times in wires:
        most.update({index: max(times, most.get(index, 0.0)) for index in wire.current_a})
    ladders = {index: _ladder(results, index, largest, times) for index, times in most.items()}
    return cheapest(results, [Path({index: [_volts(results, wire, index, size) for size in (None, *ladders[index])]
                                    for index in wire.current_a}, wire.volts / times) for wire, times in wires],
                    ladders)


def _ladder(results: Results, segment: int, largest: float, times: float) -> list[Size]:
    """The sizes that may be fitted in place of a segment, none thinner than another check asks for, and none thicker
    than it needs where all segments get so many times the copper: a short one much thicker than the rest would save
    copper, and nobody fits that."""
    asked, own_mm2 = results.asked_sizes.get(segment), results.network.segments.area_mm2[segment]
    least_mm2, most_mm2 = copper_mm2(asked) if asked else 0.0, largest * _counted_mm2(results, segment)
    alike = size_of_copper(results, segment, times)
    if alike is not None:
        most_mm2 = min(most_mm2, copper_mm2(alike))
    return [size for size in sizes_for(results, segment) if exceeds(size.area_mm2, own_mm2) and (
        size.words == asked or (exceeds(size.area_mm2, least_mm2) and at_most(size.area_mm2, most_mm2)))]


def _volts(results: Results, wire: WireOnWay, segment: int, size: Size | None) -> float:
    """What a segment loses in the current it carries on the way of a load, in another size or as fitted, with no wire
    of its branch too thin any more: as the engine has it, as warm as it gets [V]."""
    segments, wires = results.network.segments, results.solution.wires
    carried, limit = wire.current_a[segment], float(wires.ampacity_a[wire.condition, segment])
    has_a = float(results.segment_limit_a[segment])
    would_a = has_a if size is None else ampacity_of(results, segment, WireSize.read(size.words))
    wider = would_a / has_a if has_a > 0 and would_a > 0 and math.isfinite(would_a) else 1.0
    heating = carried / wider if math.isnan(limit) else min(carried / wider, HOTTEST_SHARE * limit)
    rise_k = float(wires.rise_per_a2[wire.condition, segment]) * heating**2
    per_m = float(segments.r20_ohm_per_m[segment]) if size is None else size.ohm_per_m
    return carried * per_m * float(segments.length_m[segment]) * float(copper_temperature_factor(
        float(segments.ambient_c[segment]) + rise_k))


def too_much(results: Results, wire: WireOnWay, times: float) -> str:
    """Why a circuit's own wire cannot have so many times the copper: what stands against the sizes of `sized`."""
    if any(size_of_copper(results, index, times) is None for index in wire.current_a):
        return "and no size sold has as much"
    asked = "its fuse asks for" if all(_asked_mm2(results, index) for index in wire.current_a) else "it has"
    return f"more than {writing.stated(most_times(results, LARGEST_TIMES))} times what {asked}"


def _few_above(results: Results, segment: int, area_mm2: float) -> float:
    """The copper of the size `MOST_STEPS` above an area, in those taken for a segment's system [mm²]; infinite where
    there are fewer."""
    size = results.network.segments.segment[segment].size
    above = [] if size is None else [each.area_mm2 for each in results.network.stock.sizes(size.system)
                                     if exceeds(each.area_mm2, area_mm2)]
    return above[MOST_STEPS - 1] if len(above) >= MOST_STEPS else math.inf


def few(results: Results, sizes: Mapping[int, str]) -> bool:
    """Whether sizes are no more than `MOST_STEPS` above those counted from."""
    return all(at_most(copper_mm2(size), _few_above(results, segment, _counted_mm2(results, segment)))
               for segment, size in sizes.items())
