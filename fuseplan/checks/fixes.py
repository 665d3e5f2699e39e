"""The next standard size that would pass, for the fixes: never thinner than the set of limits allows."""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats, Ints
from fuseplan.checks.seats import other_seat
from fuseplan.checks.subjects import is_charging, segment_path, segment_words
from fuseplan.engine.ambient import ASSUMED_C
from fuseplan.engine.at_limit import at_most, falls_short
from fuseplan.engine.conductor_rating import WEAKEST
from fuseplan.engine.noting import once
from fuseplan.engine.relays import loads_to_share_out
from fuseplan.engine.results import Results
from fuseplan.engine.stock import BRITISH, Size, marked_to_blow_at
from fuseplan.errors import AmountError, TableError
from fuseplan.formulas.thermal import rise_factor
from fuseplan.limits import Rated
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors
from fuseplan.tables.insulations import INSULATIONS
from fuseplan.trace import bare

Limit = TypeVar("Limit", float, NDArray[np.float64])

SPARE_K = 20.0
"""An insulation is to be rated for this much more than its place has. Common practice, no source."""


SPLIT = "split the load over two fuses with a wire each"
COOLER = "move the fuse to a cooler place"
LEAVE_OUT = "leave the fuse out: the role, length and cover of the cable allow it to go without one"


def _ambient_factor(rated: Rated, ambient_c: float) -> float:
    return float(min(rise_factor(max(rated.max_c, ambient_c), ambient_c, rated.rise_k), rated.largest_factor))


@once
def ampacity_of(results: Results, segment: int, size: WireSize, fitted: str | None = None) -> float:
    """Ampacity in A another size, or another insulation, would have in the place of a segment, same ambient and
    neighbours; NaN where nothing is on file."""
    return _in_place(results, segment, float(results.segment_limit_a[segment]), size, fitted)


def _in_place(results: Results, segment: int, limit_a: Limit, size: WireSize, fitted: str | None) -> Limit:
    """The same, in the places of segments with these ampacities that are like one in size, insulation and ambient."""
    segments = results.network.segments
    old = segments.segment[segment].size
    insulation, ambient_c = segments.insulation[segment], float(segments.ambient_c[segment])
    was = None if old is None else results.limit_set.ampacity(old, insulation)
    would = results.limit_set.ampacity(size, fitted or insulation)
    alone = math.nan if was is None else was.base_a * _ambient_factor(was, ambient_c)
    if would is None or not alone > 0:
        return limit_a * math.nan
    group = limit_a / alone
    return would.base_a * _ambient_factor(would, ambient_c) * group


@once
def largest_fuse_a(results: Results, segment: int, size: WireSize, fitted: str | None = None) -> float:
    """Largest fuse in A another size, or another insulation, would allow in the place of a segment; NaN where nothing
    is on file."""
    return float(largest_fuses_a(results, np.array([segment]), size, fitted)[0])


def largest_fuses_a(results: Results, alike: Ints, size: WireSize, fitted: str | None = None) -> Floats:
    """The same for segments alike in size, insulation and ambient (n,)."""
    segment = int(alike[0])
    would = results.limit_set.ampacity(size, fitted or results.network.segments.insulation[segment])
    area, base = conductors.conductor(size.system, size.name).area_mm2, math.nan if would is None else would.base_a
    limit = _in_place(results, segment, bare(results.segment_limit_a)[alike], size, fitted)
    return results.limit_set.largest_fuse_a(np.full(len(alike), area), limit, np.full(len(alike), base))


def size_that_carries(results: Results, segment: int, current_a: float, fuse: bool = False,
                      fitted: str | None = None, thinner: bool = False) -> str | None:
    """The thinnest standard size that carries a current in the place of a segment, or, with `fuse`, that a fuse of
    that rating protects, in its own insulation or another `fitted`, and with `thinner` perhaps a thinner one than its
    own; None where none is on file."""
    own_mm2 = float(results.network.segments.area_mm2[segment])
    for words, area, _ in sizes_for(results, segment):
        if not (thinner or area >= own_mm2):
            continue
        try:
            limit = (largest_fuse_a if fuse else ampacity_of)(results, segment, WireSize.read(words), fitted)
        except (TableError, AmountError):
            continue
        if at_most(current_a, limit):
            return words
    return None


def size_of_copper(results: Results, segment: int, times: float) -> str | None:
    """The thinnest standard size with so many times less resistance than a segment, in the system of its size; None
    where none is sold."""
    most = float(results.network.segments.r20_ohm_per_m[segment]) / times
    return next((words for words, _, ohm_per_m in sizes_for(results, segment) if at_most(ohm_per_m, most)), None)


def sizes_for(results: Results, segment: int) -> tuple[Size, ...]:
    """The sizes that may take the place of a segment, ascending; none where its own is not known."""
    size = results.network.segments.segment[segment].size
    try:
        return () if size is None else results.network.stock.sizes(size.system)
    except TableError:
        return ()


def copper_mm2(words: str) -> float:
    """Copper of a size on file [mm²]."""
    size = WireSize.read(words)
    return conductors.conductor(size.system, size.name).area_mm2


def insulation_class_c(name: str) -> float:
    """What an insulation on file is rated for in °C."""
    return INSULATIONS[name].max_c


def spare_k(results: Results, segment: int) -> float:
    """How far the hottest place a wire passes stays below its insulation's rating [K]; negative above it."""
    segments = results.network.segments
    return insulation_class_c(segments.insulation[segment]) - float(segments.hottest_c[segment])


def better_insulation(results: Results, segment: int) -> str | None:
    """The insulation of the lowest class that is rated for `SPARE_K` more than the wire's place has; None where none
    with a current on file for the wire's size is."""
    segments = results.network.segments
    return insulation_for(results, segments.segment[segment].size, float(segments.hottest_c[segment]))


def insulation_for(results: Results, size: WireSize | None, ambient_c: float) -> str | None:
    """The insulation of the lowest class that is rated for `SPARE_K` more than a place's temperature in °C; None where
    none with a current on file for the wire's size is."""
    fits = [(entry.max_c, name) for name, entry in INSULATIONS.items() if entry.max_c >= ambient_c + SPARE_K
            and (size is None or results.limit_set.ampacity(size, name) is not None)]
    return min(fits)[1] if fits else None


SHELF_C = 125.0
"""The highest class of insulation that is fitted to save copper: wire of a higher one is seldom at hand. Common
practice, no source."""
SAVED_SIZES = 2
"""So many sizes less is another insulation worth. Common practice, no source."""


def insulation_before_copper(results: Results, segment: int, rating_a: float) -> tuple[str, str] | None:
    """The insulation of the lowest class with which a wire, in its place, is rated for a fuse with `SAVED_SIZES` less
    copper than with its own, and the size it then needs; None where none on file saves as much, or the fuse needs no
    thicker wire."""
    segments = results.network.segments
    size, own = segments.segment[segment].size, segments.insulation[segment]
    if size is None or own not in INSULATIONS:
        return None
    ladder = [each.words for each in results.network.stock.sizes(size.system)
              if each.area_mm2 >= 0.9999 * float(segments.area_mm2[segment])]

    def needed(insulation: str) -> int:
        return next((place for place, words in enumerate(ladder) if at_most(
            rating_a, largest_fuse_a(results, segment, WireSize.read(words), insulation))), len(ladder))

    now = needed(own)
    if now < SAVED_SIZES:
        return None
    better = sorted((entry.max_c, name) for name, entry in INSULATIONS.items()
                    if insulation_class_c(own) < entry.max_c <= SHELF_C)
    return next(((name, ladder[place]) for _, name in better
                 if (place := needed(name)) <= now - SAVED_SIZES and place < len(ladder)), None)


@once
def another_insulation(results: Results, segment: int) -> str | None:
    """What to do about a wire whose place is too hot for its insulation, before any size or fuse is changed. None
    where the insulation has enough to spare."""
    if segment < 0:
        return None
    segments = results.network.segments
    name, better = segments.insulation[segment], better_insulation(results, segment)
    if carries_nothing(results, segment):
        place, own = float(segments.ambient_c[segment]), float(segments.max_c[segment])
        why = "carries no current, whatever its size"
    elif falls_short(spare_k(results, segment), SPARE_K):
        place, own = float(segments.hottest_c[segment]), insulation_class_c(name)
        why = f"has less than {writing.stated(SPARE_K, 'K')} to spare"
    else:
        return None
    such = f"{f', such as {better}' if better else ''}{for_all_alike(results, segment)}"
    return (f"fit another insulation{such}, or move the wire to a cooler place: at "
            f"{writing.burden(place, '°C')} {name}, which is rated for {writing.limit(own, '°C')}, {why}")


def insulation_without_current(results: Results, segment: int) -> str | None:
    """The same for a wire that may carry no current where it is: no fuse protects it, and no size helps; where neither
    that place nor its insulation is stated, to state them. None for others."""
    if not carries_nothing(results, segment):
        return None
    segments = results.network.segments
    if segment not in segments.marked.get("assumed_place", ()) or segments.segment[segment].insulation is not None:
        return another_insulation(results, segment)
    return f"state the zone and the insulation of {segment_words(results, segment)}: at the assumed " \
           f"{writing.stated(ASSUMED_C, '°C')} and with the assumed {WEAKEST} it may carry no current"


def insulation_asked(results: Results, segment: int) -> str | None:
    """The insulation that `another_insulation` names for a wire: what is fitted in its place is sized with it. None
    where its own may stay, or none on file suits."""
    return None if another_insulation(results, segment) is None else better_insulation(results, segment)


def insulation_first(results: Results, segment: int, needed_a: float, otherwise: str, fuse: bool = False) -> str:
    """What to do about a wire that carries too much, or, with `fuse`, that a fuse of `needed_a` does not protect:
    another insulation where its place asks for one, and then `otherwise` unless that alone is enough."""
    first = another_insulation(results, segment)
    if first is None:
        return otherwise
    segments = results.network.segments
    better, size = better_insulation(results, segment), segments.segment[segment].size
    if better is None or size is None or carries_nothing(results, segment):
        return first
    limit = (largest_fuse_a if fuse else ampacity_of)(results, segment, size, better)
    return first if at_most(needed_a, limit) else f"{first}; then {otherwise}"


def past_the_tables_fix(results: Results, segment: int) -> str:
    """What to do about a wire of which nothing is on file and that fails even the bound of it."""
    return "a thicker wire, of a size that the set of limits lists" if results.ceilings.key[segment] == "size" else \
        "another insulation, one that the set of limits lists for that place"


def or_split(results: Results, device: int, words: str = SPLIT) -> str:
    """What stands behind another fix where what is behind a device can be shared out over two fuses, else nothing: a
    single load, and what an alternator gives, would be on two fuses side by side."""
    owner, fusing = results.network.fuses[device].owner, results.fusing
    shared = owner[0] != "alternator" and not is_charging(results, owner, float(fusing.continuous_a[1, device])) \
        and loads_to_share_out(results.network, int(results.network.fuse_node[device]))
    return f", or {words}" if shared else ""


def ask_the_maker(results: Results, device: int) -> str:
    """What to do where a maker's limit allows only a smaller fuse than the load needs."""
    return f"compare the maker's figure with the load current{or_split(results, device)}"


def smaller_fuse(results: Results, device: int, rating_a: float, where: str = "") -> str:
    """To fit a smaller fuse that the load allows; of a British one whose mark may have been entered, that first, unless
    it is then too small for the load."""
    fit = f"fit {fuse_words(results, device, rating_a)}{where}, which still carries the load"
    now = float(results.fusing.rating_a[device])
    marked = marked_to_blow_at(now) if results.network.fuse_kinds[device] == BRITISH else None
    if marked is None or not at_most(marked, float(results.fusing.high_a[device])) \
            or falls_short(marked, float(results.fusing.low_a[0, device])):
        return fit
    return f"if it is marked to blow at {writing.rating(now)} enter {writing.rating(marked)}; else {fit}"


def carries_nothing(results: Results, segment: int) -> bool:
    """Whether the place of a wire is as hot as its insulation is rated for, or hotter: it may carry no current."""
    segments = results.network.segments
    return segment >= 0 and bool(segments.ambient_c[segment] >= segments.max_c[segment])


def wire_field(results: Results, segment: int) -> str:
    """Path of the key that lets a wire carry more, the first of `wire_fields`."""
    return wire_fields(results, segment)[0]


def wire_fields(results: Results, segment: int) -> tuple[str, ...]:
    """Paths of the keys that let a wire carry more: its size, or where no size helps the insulation of all wires that
    get the same."""
    if another_insulation(results, segment) is None:
        return (segment_path(results, segment, "size"),)
    return tuple(segment_path(results, index, "insulation") for index in insulated_alike(results, segment))


def _is_too_weak(results: Results, segment: int) -> bool:
    """Whether a wire's insulation has less than `SPARE_K` to spare, or none."""
    return carries_nothing(results, segment) or bool(falls_short(spare_k(results, segment), SPARE_K))


def for_all_alike(results: Results, segment: int) -> str:
    """Which wires a fix by insulation is for, where it is for several: `` for both wires of 'Horn' there``."""
    count = len(insulated_alike(results, segment))
    owner = in_words(results.plan, *results.network.segments.owner[segment])
    return "" if count < 2 else f" for {'both' if count == 2 else f'all {count}'} wires of {owner} there"


def insulated_alike(results: Results, segment: int) -> list[int]:
    """The wires of one part whose insulation is too weak for their place like that of this one, and that get the same
    in its place: what is wrong with the wire out and with the wire back is one fault."""
    segments = results.network.segments
    better = better_insulation(results, segment)
    return [index for index in results.network.segments_of_part[segments.owner[segment]]
            if segments.insulation[index] == segments.insulation[segment] and _is_too_weak(results, index)
            and better_insulation(results, index) == better]


def fuse_words(results: Results, device: int, rating_a: float) -> str:
    """A rating for a device, with the words that it is not in stock, or asks for another holder, where that is so."""
    kind, stock = results.network.fuse_kinds[device], results.network.stock
    return stock.fuse_words(kind, rating_a) + other_seat(results, device, rating_a)
