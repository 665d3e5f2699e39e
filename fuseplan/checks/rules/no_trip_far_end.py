"""A short at the far end of the wire does not blow the fuse within five seconds.

A long thin wire limits its own short-circuit current. If it is too low, the fuse takes minutes or never blows, and the
wire overheats the loom. The current is calculated through the whole loop: battery, cables, fuses, contacts, joints, hot
conductors and the earth side. Where the cable may go without a fuse, by its role, length and cover, a fuse that is too
slow is advice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np

from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.fixes import fuse_words, wire_field
from fuseplan.checks.fuse_to_fit import blowing_in_time, holding, suiting
from fuseplan.checks.own_fuse import slow_circuit, unprotected
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.stated_resistances import mended_first
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_path, owner_words, stronger_battery
from fuseplan.checks.thin_straps import thin_strap
from fuseplan.checks.too_large_fuse import fix_for
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S, OPEN_WITHIN_SOURCE, limits
from fuseplan.engine.fault import FarEnds
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known, internal_ohm
from fuseplan.engine.unprinted_times import least_fault_of, may_be_stated
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.tables.fuses import kind_words

_FUSE_OF_ITS_OWN = "a smaller fuse of its own where its wire starts, or a thicker or shorter wire"


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    faults, fusing = results.faults, results.fusing
    slow = np.flatnonzero(exceeds(faults.fuse_opens_s, OPEN_WITHIN_S))
    for index in slow.tolist():
        row, rating = results.network.fuses[index], float(fusing.rating_a[index])
        current, time_s = float(faults.fuse_far_a[index]), float(faults.fuse_opens_s[index])
        printed = limits(row.fuse.kind, rating)
        source = "; ".join(each.line() for each in printed.sources) if printed else rule.source
        takes = "may never blow" if np.isinf(time_s) else f"may take {writing.burden(time_s, 's')} to blow"
        fix = _fix(results, index, current, partial(_slow, results, index, None),
                   partial(slow_circuit, results, index), partial(_smaller, results, index, current))
        yield rule.finding(
            results, fuse_subject(row),
            f"a short at the far end draws {writing.limit(current, 'A')}, {writing.limit(current / rating, 'factor')} "
            f"times {writing.rating(rating)}: the {kind_words(row.fuse.kind)} {takes}, and the wire overheats "
            "meanwhile",
            figure=time_s if np.isfinite(time_s) else None, limit=OPEN_WITHIN_S, unit="s", source=source,
            fix=fix,
            consequence="good_practice" if fusing.against_shorts[index] else None,
            fields=tuple(dict.fromkeys((*fix.fields, fuse_path(row, "rating"), f"{owner_path(row.owner)}.wire.0.size",
                                        f"{owner_path(row.owner)}.earth"))),
        )
    yield from _behind(rule, results)
    yield from _unjudged(rule, results)


def _fix(results: Results, device: int, current_a: float, fails: Callable[[FarEnds], bool],
         own: Callable[[], Fix | None], rest: Callable[[], Fix]) -> Fix:
    """What makes a fuse blow in time: the first of what alone does, a fuse of its `own` for a part of what is behind
    it, else the `rest`. `fails` tells whether it is still too slow at given currents."""
    if not results.fixes_wanted:
        return NO_FIX
    if cause := mended_first(results, fails):
        return Fix(cause.words, (cause.path,))
    if weak := _weak_battery(results, device, current_a):
        return Fix(weak, stronger_battery(results)[1:])
    return thin_strap(results, current_a, fails) or own() or rest()


def _thin(results: Results, device: int) -> tuple[str, ...]:
    """Key of the wire that is too thin for any fuse that carries the load, where there is one: no fuse mends that."""
    fusing, wire = results.fusing, int(results.fusing.binding[device])
    if wire < 0 or results.network.segments.owner[wire] != results.network.fuses[device].owner:
        return ()
    return (wire_field(results, wire),) if exceeds(fusing.low_a[0, device], fusing.high_a[device]) else ()


def _slow(results: Results, device: int, circuit: int | None, far: FarEnds) -> bool:
    """Whether a device takes too long, or it is not known, for a short at the far end of a circuit, or of all it
    protects."""
    current_a = far.fuse_a[device] if circuit is None else far.circuit_a[circuit]
    return not at_most(results.opens_s(device, float(current_a)), OPEN_WITHIN_S)


def _behind(rule: Rule, results: Results) -> Iterator[Finding]:
    """The same for circuits without a fuse of their own at whose far end that of their feed is too slow: none of them
    is ok because the device is the feed's."""
    network, faults = results.network, results.faults
    guard = network.guard[network.circuit_node]
    for number in np.flatnonzero(exceeds(faults.circuit_opens_s, OPEN_WITHIN_S) & (guard >= 0)).tolist():
        index, name = int(guard[number]), network.circuit_ids[number]
        row, time_s = network.fuses[index], float(faults.circuit_opens_s[number])
        if row.owner == ("circuit", name):
            continue
        takes = "may never blow" if np.isinf(time_s) else f"may take {writing.burden(time_s, 's')} to blow"
        current = float(faults.circuit_far_a[number])
        fix = _fix(results, index, current, partial(_slow, results, index, number),
                   partial(unprotected, results, index, ("circuit", name)), lambda: Fix(_FUSE_OF_ITS_OWN, ()))
        yield rule.finding(
            results, ("circuit", name),
            f"a short at its far end draws {writing.limit(current, 'A')}: the "
            f"{writing.rating(float(results.fusing.rating_a[index]))} {kind_words(row.fuse.kind)} of "
            f"{owner_words(results, row.owner)} {takes}, and the wire overheats meanwhile",
            figure=time_s if np.isfinite(time_s) else None, limit=OPEN_WITHIN_S, unit="s",
            fix=fix,
            consequence="good_practice" if results.fusing.against_shorts[index] else None,
            fields=tuple(dict.fromkeys((*fix.fields, fuse_path(row, "rating"), f"circuit.{name}.wire.0.size"))),
        )


def _unjudged(rule: Rule, results: Results) -> Iterator[Unjudged]:
    """Circuits whose fuse may be too slow for a short at their far end, for all that is known of it: their feed's, or
    their own while the battery is not known. With a known battery they are asked for what their own lacks. A fuse that
    may as well be left out leaves nothing open."""
    network, faults = results.network, results.faults
    guard = network.guard[network.circuit_node]
    for number in np.flatnonzero(np.isnan(faults.circuit_opens_s) & np.isfinite(faults.circuit_far_a) & (guard >= 0)):
        row, name = network.fuses[int(guard[number])], network.circuit_ids[number]
        if results.fusing.against_shorts[guard[number]]:
            continue
        if (row.owner != ("circuit", name) or not battery_known(results.plan.battery)) and may_be_stated(row.fuse):
            yield rule.unjudged(("circuit", name), "whether a short at the far end blows its "
                                f"{kind_words(row.fuse.kind)} in time: no opening times on file, and no "
                                f"{fuse_path(row, 'blows_at')}")


def _weak_battery(results: Results, index: int, current_a: float) -> str | None:
    """A stronger battery, where its own resistance is most of the loop and half of the wires' would not do; None where
    wires are what to change, or where nothing is known of it."""
    battery = results.plan.battery
    if not battery_known(battery):
        return None
    emf, own = float(results.source.open_circuit_v[0]), internal_ohm(battery, results.network.system_v, cold=True)
    # One that its wires do not allow is not to stay, whatever the battery.
    rating_a, wire_a = float(results.fusing.rating_a[index]), float(results.fusing.wire_a[index])
    enough_a = least_fault_of(results.network.fuses[index].fuse, wire_a if 0.0 < wire_a < rating_a else rating_a)
    if not np.isfinite(enough_a) or own <= emf / current_a / 2 or emf / enough_a - own > (emf / current_a - own) / 2:
        return None
    has, may_have = writing.against(emf / current_a, emf / enough_a, "ohm")
    cold = "" if battery is not None and battery.internal_resistance is not None else ", cold,"
    return (f"{stronger_battery(results)[0]}: its own resistance{cold} is {writing.burden(own, 'ohm')} of the {has} of "
            f"the loop, which may have {may_have}")


def _battery_too(results: Results, has_ohm: float, may_have_ohm: float) -> str:
    """A stronger battery beside thicker wires, where its own resistance is most of what the loop may have and leaves
    them less than a quarter of theirs."""
    battery = results.plan.battery
    own = internal_ohm(battery, results.network.system_v, cold=True) if battery_known(battery) else 0.0
    if own < may_have_ohm / 2 or may_have_ohm - own >= (has_ohm - own) / 4:
        return ""
    return f", of which the battery's own is {writing.burden(own, 'ohm')}: {stronger_battery(results)[0]}, and besides"


def _smaller(results: Results, index: int, current_a: float) -> Fix:
    """A fuse that blows in time, and what less resistance does; the key of a wire too thin for any, or too long where
    no fuse that carries the load blows in time."""
    row = results.network.fuses[index]
    low, high = float(results.fusing.low_a[0, index]), float(results.fusing.high_a[index])
    quick = blowing_in_time(results, index, holding(results, index, low, high))
    if not quick and exceeds(results.fusing.rating_a[index], results.fusing.wire_a[index]):
        wired = fix_for(results, index, int(results.fusing.binding[index]))
        rating = dict(wired.values).get(fuse_path(row, "rating"))
        if rating is not None and blowing_in_time(results, index, [float(amount(rating, CURRENT))]):
            return wired
    enough_a = least_fault_of(row.fuse, float(results.fusing.rating_a[index]))
    words = []
    if quick:
        quick = results.network.stock.preferred(row.fuse.kind, quick)
        fuse = fuse_words(results, index, suiting(results, index, quick))
        words.append(f"fit {fuse}, which blows in time and still carries the load")
    if np.isfinite(enough_a):
        emf = float(results.source.open_circuit_v[0])
        has, may_have = writing.against(emf / current_a, emf / enough_a, "ohm")
        with_battery = _battery_too(results, emf / current_a, emf / enough_a)
        words.append(f"reduce the loop resistance from {has} to {may_have}{with_battery or ':'} thicker or shorter "
                     "wire, a better earth")
    return Fix("; or ".join(words) or "a fuse of another type with a printed opening time, or a thicker wire",
               _thin(results, index) or (() if quick else (f"{owner_path(row.owner)}.wire.0.length",)))


RULE = Rule(
    consequence="burns",
    title="No trip on a short at the far end",
    source=OPEN_WITHIN_SOURCE,
    caution="A short that does not blow its fuse can set the loom on fire without any spark.",
    fix="a smaller fuse, a thicker or shorter wire, a better earth",
    example="fails: 10 A on 22 m of 0.5 mm²; passes: 2 A",
    find=find,
    figures=((ShortCircuit.max_clearing_s, None),),
    resistance=True,
    ambient=True,
)
