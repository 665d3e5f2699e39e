"""What takes away voltage drops, and where: the earth point, contact, joint or wire that is the cause of each.

The cause is found from the network. A drop that is mostly in one resistance stated beside the wires is cured there, by
no wire. One that is mostly in a circuit's own wire is cured in that. Of the feeds, straps and earth points that several
circuits share, that which improved alone cures most of the rest is their cause, and one size of it cures them all. Only
what neither cures asks for both.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from fuseplan.checks.drop_fix import both_of, of_wires, thinnest
from fuseplan.checks.drop_sizes import LARGEST_TIMES, SHARED_TIMES, few, most_times, sized, too_much
from fuseplan.checks.drop_ways import Key, Lack, Way, WireOnWay, way_of
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.one_size import knowing, names_less, thickest
from fuseplan.checks.stated_resistances import StatedResistance, stated_resistances
from fuseplan.checks.subjects import segment_path, segments_on
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

MOST_TIMES = 4.0
"""Where most is lost elsewhere, a wire that would need more copper than this many times is not the one to change.
Common practice, no source."""
MARGIN = 1.01
"""Copper above what is just enough: through a better wire the neighbours draw a little more too."""
SPARE_SHARE = 0.25
"""Where a wire alone is not enough, or needs much more copper, the neighbours draw so much more that a drop is to fall
by this share more than is asked."""


def drop_fixes(results: Results, lacks: Sequence[Lack]) -> list[Fix]:
    """A fix for each of some lacks, those of one cause with one and the same change of it, and all with one size for a
    wire."""
    if not results.fixes_wanted:
        return [NO_FIX] * len(lacks)
    on = {returns: segments_on(results, returns) for returns in (False, True)}
    stated = stated_resistances(results) if lacks else []
    lacks = [each.with_fuses(results) for each in lacks]
    ways = [way_of(results, each, on, stated) for each in lacks]
    fixes = _fixes(results, lacks, ways)
    for bound in (0, 1):
        asked = thickest(size for lack, fix in zip(lacks, fixes, strict=True) if lack.bound <= bound
                         for size in fix.sizes)
        if any(lack.bound == bound and names_less(fix.sizes, asked) for lack, fix in zip(lacks, fixes, strict=True)):
            fixes = [again if lack.bound == bound else fix for lack, fix, again in zip(
                lacks, fixes, _fixes(knowing(results, asked), lacks, ways), strict=True)]
    return fixes


def _fixes(results: Results, lacks: Sequence[Lack], ways: Sequence[Way]) -> list[Fix]:
    """A fix for each lack, whatever size the others name for the same wire."""
    found: dict[int, Fix] = {}
    own: dict[tuple[int, int], dict[int, tuple[WireOnWay, float]]] = defaultdict(dict)
    for number, (lack, way) in enumerate(zip(lacks, ways, strict=True)):
        if (fix := _in_stated(results, lack, way)) is not None:
            found[number] = fix
        elif (wire := _own_wire(results, lack, way)) is not None:
            own[int(results.network.consumers.circuit[lack.consumer]), lack.bound][number] = wire
    for wires in own.values():
        # All loads of a circuit share its wire: what each of them needs is fitted once.
        found.update(dict.fromkeys(wires, of_wires(results, sized(results, list(wires.values())) or {})))
    sizes: dict[Key, float] = {}
    for bound in (0, 1):
        left = [number for number, lack in enumerate(lacks) if lack.bound == bound and number not in found]
        for key, members in _shared_causes(results, lacks, ways, left):
            if isinstance(key, StatedResistance):
                found.update((number, _mended(key, ways[number])) for number in members)
                continue
            sizes[key] = max(*members.values(), sizes.get(key, 0.0))
            fitted = sized(results, [(ways[number].wires[key], times) for number, times in members.items()],
                           SHARED_TIMES)
            assert fitted is not None
            found.update((number, _shared_fix(results, ways[number], key, fitted)) for number in members)
    return [found[number] if number in found else
            _in_stated(results, lack, way, alone=False) or _both(results, lack, way, sizes)
            for number, (lack, way) in enumerate(zip(lacks, ways, strict=True))]


def _times(lack: Lack, way: Way, volts: float) -> float:
    """How many times the copper a part of the way needs to cure a lack alone; infinite where it cannot."""
    elsewhere = (lack.lost_v - volts) * way.rises
    return math.inf if elsewhere >= lack.most_v else MARGIN * volts * way.rises / (lack.most_v - elsewhere)


def _in_stated(results: Results, lack: Lack, way: Way, alone: bool = True) -> Fix | None:
    """The fix where one resistance beside the wires loses more than all the rest of the way, so that no thicker wire
    takes that away, or more than any wire and, where it is to do so `alone`, mended cures it; with what is to be done
    about the rest."""
    part = max(way.stated, key=way.stated.__getitem__, default=None)
    if part is None:
        return None
    fix, left = _mended(part, way), _without(lack, way, part)
    cured = at_most(left.lost_v, left.most_v)
    if way.stated[part] <= lack.lost_v / 2 and (way.stated[part] <= way.most_in_wires_v or (alone and not cured)):
        return None
    if cured or left is lack:
        return fix
    rest = way._replace(stated={each: volts for each, volts in way.stated.items() if each != part})
    more = _in_stated(results, left, rest, alone=False)
    if more is None:
        own = _own_wire(results, left, rest)
        more = _both(results, left, rest, {}) if own is None else of_wires(results, sized(results, [own]) or {})
    return both_of(fix, more)._replace(values=())


def _without(lack: Lack, way: Way, part: StatedResistance) -> Lack:
    """What is lacking with one of the resistances beside the wires mended."""
    gained = way.stated[part] * part.gain_ohm / part.ohm if part.ohm > 0 else 0.0
    return lack if gained <= 0 else lack._replace(lost_v=(lack.lost_v - gained) * way.rises)


def is_a_mend(fix: Fix) -> bool:
    """Whether a fix is to make one bad joint, contact or earth point anew, and nothing else."""
    return not fix.values and len(fix.fields) == 1 and fix.fields[0].endswith("resistance")


def _mended(part: StatedResistance, way: Way) -> Fix:
    return Fix(f"{part.mend}: {writing.burden(way.stated[part], 'V')} of the drop is in it", (part.path,))


def _own(way: Way) -> WireOnWay | None:
    """The circuit's own wire, of both sides where both are judged: the one that loses more."""
    return max((wire for wire in way.wires.values() if wire.is_own), key=lambda wire: wire.volts, default=None)


def _own_wire(results: Results, lack: Lack, way: Way) -> tuple[WireOnWay, float] | None:
    """The circuit's own wire and how many times less it is to lose, where it loses more than anything it shares and so
    cures the lack."""
    own = _own(way)
    shared = max((wire.volts for wire in way.wires.values() if not wire.is_own), default=0.0)
    if own is None or own.volts < shared:
        return None
    times = _times(lack, way, own.volts)
    # Where nothing else is on its way, no neighbour draws more through it.
    tried = (times,) if shared else (times, times / MARGIN)
    return next(((own, each) for each in tried if (not shared or each <= most_times(results, MOST_TIMES))
                 and sized(results, [(own, each)])), None)


def _shared_causes(results: Results, lacks: Sequence[Lack], ways: Sequence[Way], left: list[int]
                   ) -> list[tuple[Key | StatedResistance, dict[int, float]]]:
    """What shared wires and resistances are the cause of what is left, each with the lacks it alone cures and, of a
    wire, how many times less it is to lose for each; the one that cures most first."""
    cures = {number: [*_shared_cures(results, lacks[number], ways[number])] for number in left}
    found: list[tuple[Key | StatedResistance, dict[int, float]]] = []
    while cures:
        cured: dict[Key | StatedResistance, dict[int, float]] = defaultdict(dict)
        for number, each in cures.items():
            for part, times in each:
                cured[part][number] = times
        if not cured:
            break
        best = max(cured, key=lambda each: (len(cured[each]), sum(_lost_in(ways[number], each)
                                                                  for number in cured[each])))
        found.append((best, cured[best]))
        cures = {number: each for number, each in cures.items() if number not in cured[best]}
    return found


def _shared_cures(results: Results, lack: Lack, way: Way) -> Iterator[tuple[Key | StatedResistance, float]]:
    """The shared wires and resistances that alone cure a lack, and how many times less each wire is to lose."""
    for key, wire in way.wires.items():
        times = math.inf if wire.is_own else _times(lack, way, wire.volts)
        most, largest = _largest(lack, way, key)
        if times <= most and sized(results, [(wire, times)], largest):
            yield key, times
    for part in way.stated:
        if at_most(_without(lack, way, part).lost_v, lack.most_v):
            yield part, 1.0


def _largest(lack: Lack, way: Way, key: Key) -> tuple[float, float]:
    """How many times the copper a shared wire may need, and may be given: more where most of the drop is lost in it."""
    return (SHARED_TIMES, SHARED_TIMES) if way.wires[key].volts > lack.lost_v / 2 and key[0] in ("feed", "earth") else \
        (MOST_TIMES, LARGEST_TIMES)


def _lost_in(way: Way, part: Key | StatedResistance) -> float:
    return way.stated[part] if isinstance(part, StatedResistance) else way.wires[part].volts


def _shared_fix(results: Results, way: Way, key: Key, sizes: Mapping[int, str]) -> Fix:
    fix = of_wires(results, sizes)
    mine, here = (writing.burden(each.volts if each is not None else 0.0, "V") for each in (_own(way), way.wires[key]))
    return fix._replace(words=f"{fix.words}: only {mine} of the drop is in the circuit's own wire, {here} in this one")


def _both(results: Results, lack: Lack, way: Way, sizes: Mapping[Key, float]) -> Fix:
    """The fix where no wire alone is enough: the shared one that loses most, and the circuit's own for the rest."""
    own = _own(way)
    shared = {key: wire for key, wire in way.wires.items() if not wire.is_own}
    scant = lack._replace(most_v=lack.most_v * (1.0 - SPARE_SHARE / 2.0))
    if shared:
        lack = lack._replace(most_v=lack.most_v - SPARE_SHARE * (lack.lost_v - lack.most_v))
    closer = "shorten the run, or move the supply point closer, such as with a relay near the load, fed by a " \
             "thick wire" if lack.supply else \
        "earth the load at a nearer point, by a shorter wire" if own is not None and own.volts > lack.lost_v / 2 else \
        "clean the joints, or choose an earth point nearer the battery"
    if own is None and not shared:
        return Fix(f"{closer}: the drop is not in a wire", ())
    worst = max(way.wires.values(), key=lambda wire: (wire.volts, wire.is_own))
    field = segment_path(results, thinnest(results, worst.current_a), "size")
    if own is not None and shared:
        key = max(shared, key=lambda each: shared[each].volts)
        for times in dict.fromkeys((max(2.0, sizes.get(key, 0.0)), MOST_TIMES)):
            saved = shared[key].volts * (1.0 - 1.0 / times)
            rest = _times(lack._replace(lost_v=lack.lost_v - saved), way, own.volts)
            mine = sized(results, [(own, rest)]) if rest <= most_times(results, MOST_TIMES) else None
            theirs = sized(results, [(shared[key], times)])
            if mine is not None and theirs and (own.volts >= shared[key].volts or few(results, mine)):
                shared_fix = of_wires(results, theirs)
                return both_of(of_wires(results, mine), shared_fix) if mine else shared_fix
    wires = math.fsum(wire.volts for wire in way.wires.values())
    if own is not None:
        times = _times(lack, way, own.volts)
        # Where far more is lost than may be, a share of that leaves nothing: what is spared is one of what may be.
        alone = sized(results, [(own, times)]) or sized(results, [(own, _times(scant, way, own.volts))])
        is_cause = own.volts >= max((wire.volts for wire in shared.values()), default=0.0)
        if alone and (is_cause or few(results, alone)):
            return of_wires(results, alone)
        if math.isfinite(times) and not shared:
            return Fix(f"its wire needs {writing.burden(times, 'factor')} times the copper, "
                       f"{too_much(results, own, times)}: {closer}", (field,))
    return Fix(f"{closer}: {writing.burden(wires, 'V')} of the drop is in the wires on its way", (field,))
