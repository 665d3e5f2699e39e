"""The voltage drop between alternator and battery, supply side or earth side, is too high.

What the cable loses is missing at the battery: it stays half charged and the alternator gets the blame. A bigger
alternator on the old cable overheats it as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.drop_sizes import LARGEST_TIMES
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import size_of_copper
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.stated_resistances import worst_on_way
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.alternator_cable import AlternatorCable
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.charging import CableResult
from fuseplan.trace import bare

MARGIN = 1.1
"""Copper beyond what a drop asks for: a strap is longer than it was planned, and warm. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    lead = results.power.alternator_cable
    if lead is None:
        return
    if math.isnan(lead.rated_a):
        yield rule.unjudged(("alternator", "alternator"), "the alternator's output")
        return
    if math.isnan(lead.supply_ohm):
        yield rule.unjudged(("alternator", "alternator"), "resistance of the alternator's cable")
    else:
        yield from _supply(rule, results, lead)
    fails = exceeds(lead.return_drop_v, lead.return_limit_v.value)
    if not results.known.alternator_cable and not fails:
        yield rule.unjudged(("alternator", "alternator"), "resistance between alternator and battery")
    if fails:
        fix = _fix(results, True, lead.return_ohm, lead.return_limit_v.value / lead.rated_a)
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"earth-side voltage drop from alternator to battery {writing.burden(lead.return_drop_v, 'V')} at "
            f"{writing.rating(lead.rated_a)}; the limit is "
            f"{writing.limit(lead.return_limit_v.value, 'V')}", figure=lead.return_drop_v,
            limit=lead.return_limit_v.value, unit="V", source=lead.return_limit_v.source.line(), fix=fix,
            part="earth side")


def _fix(results: Results, returns: bool, ohm: float, *allowed_ohm: float) -> Fix:
    """What to do about the way between alternator and battery: a poor part of it is mended, else its wires get the
    sizes that leave no more than the first resistance allowed that any do. `ohm` is what the side has."""
    network = results.network
    node = int((network.consumers.return_node if returns else network.consumers.supply_node)[network.alternator])
    own = ("alternator.earth",) if returns else ("alternator.cable.0.length",)
    cause = worst_on_way(results, returns, node, ohm - allowed_ohm[-1])
    if cause is not None:
        return Fix(cause.words, (cause.path, *own))
    fixes = [_wire_fix(results, returns, node, ohm, each) for each in allowed_ohm]
    fix = next((each for each in fixes if each.sizes), fixes[-1])
    return fix._replace(fields=(*fix.fields, *own))


def _wire_fix(results: Results, returns: bool, node: int, ohm: float, allowed_ohm: float) -> Fix:
    """What to do about the wires between alternator and battery, with the size of each that takes away what is too
    much: that of the wire with the most resistance, or those of all where it alone is not enough. None is thicker where
    the rest of the way has more than half of what is allowed, and one is not enough."""
    network, segments = results.network, results.network.segments
    branches = (network.returns if returns else network.supply).way(node)
    way = set(branches.tolist())
    wires = sorted((index for index in np.flatnonzero((segments.returns == returns) & segments.r20_known).tolist()
                    if int(segments.branch[index]) in way), key=lambda index: -float(segments.r20_ohm[index]))
    clean = ", clean joints" if returns else ""
    if not wires:
        return Fix(f"a thicker or shorter {'engine strap' if returns else 'cable'}{clean}", ())
    base = network.returns_base if returns else network.supply_base + np.bincount(
        network.fuse_node, bare(results.fuse_ohm), len(network.supply_base))
    rest_ohm = float(bare(base)[branches].sum())
    warm = (ohm - rest_ohm) / sum(float(segments.r20_ohm[index]) for index in wires)
    crowded = not returns and exceeds(rest_ohm, allowed_ohm / 2)
    for thicker in (wires[:1],) if crowded else (wires[:1], wires):
        sizes = _sizes(results, thicker, (ohm - allowed_ohm) / warm)
        if sizes:
            words = "; and ".join(f"fit {network.stock.wire_words(size)} in place of {segment_words(results, index)}"
                                  for index, size in sizes)
            values = tuple((segment_path(results, index, "size"), size) for index, size in sizes)
            return Fix(f"{words}{clean}", tuple(path for path, _ in values), values, sizes)
    if crowded:
        return Fix("fewer joints, meters and fuses on its way to the battery: without its wires it has "
                   f"{writing.burden(rest_ohm, 'ohm')}", ())
    return Fix(f"a thicker or shorter wire in place of {segment_words(results, wires[0])}{clean}",
               (segment_path(results, wires[0], "size"),))


def _sizes(results: Results, wires: list[int], excess_ohm: float) -> tuple[tuple[int, str], ...]:
    """The size of each of some wires that takes so much from their resistance at 20 °C; none where one is not sold."""
    has = sum(float(results.network.segments.r20_ohm[index]) for index in wires)
    times = MARGIN * has / (has - excess_ohm) if exceeds(has, excess_ohm) else math.inf
    sizes = {index: size_of_copper(results, index, times) for index in wires} if at_most(times, LARGEST_TIMES) else {}
    found = tuple((index, asked_too(results, index, size)) for index, size in sizes.items() if size is not None)
    return found if len(found) == len(wires) else ()


def _supply(rule: Rule, results: Results, lead: AlternatorCable) -> Iterator[Finding]:
    limit = lead.limit_v
    by_drop_ohm = math.inf if limit is None else limit.value / lead.rated_a
    drop_fails = limit is not None and exceeds(lead.supply_drop_v, limit.value)
    own_ohm = by_drop_ohm if drop_fails else lead.limit_ohm.value
    if not exceeds(lead.supply_ohm, own_ohm):
        return
    # A size that keeps one of the two limits is to keep the other as well, where there is one.
    fix = _fix(results, False, lead.supply_ohm, min(by_drop_ohm, lead.limit_ohm.value), own_ohm)
    if limit is not None and drop_fails:
        whole = lead.sensed_drop_v > 0.0 and at_most(lead.sensed_drop_v, lead.made_up_v)
        made_up = whole and at_most(lead.supply_drop_v - lead.made_up_v, limit.value)
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"voltage drop of the alternator cable {writing.burden(lead.supply_drop_v, 'V')} at "
            f"{writing.rating(lead.rated_a)}; the limit is {writing.limit(limit.value, 'V')}"
            f"{_sensed_words(lead)}",
            consequence="good_practice" if made_up else None, figure=lead.supply_drop_v,
            limit=limit.value, unit="V", source=limit.source.line(), fix=fix)
    else:
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"the alternator cable has {writing.burden(lead.supply_ohm, 'ohm')}; the limit of a workshop test is "
            f"{writing.limit(lead.limit_ohm.value, 'ohm')} ({lead.limit_ohm.source.place})", figure=lead.supply_ohm,
            limit=lead.limit_ohm.value, unit="ohm", source=lead.limit_ohm.source.line(), fix=fix)


def _sensed_words(lead: AlternatorCable) -> str:
    """What the regulator makes up for by its sense lead, as the end of a sentence."""
    if not lead.made_up_v > 0:
        return ""
    return (f"; its sense lead makes up for {writing.limit(lead.made_up_v, 'V')} of it, as long as the lead is whole: "
            "with it off or broken that is missing at the battery")


RULE = Rule(
    consequence="stops_the_car",
    title="Charging voltage drop",
    source="0.4 V at rated output: a trade journal printing an automotive handbook's table, July 2017; 0.3 V at 30 A, "
           "10 mΩ: a car maker's workshop manual, 2018",
    caution="This cable is live from the battery: disconnect the battery, earth lead first, before touching it, "
            "and never disconnect it with the engine running.",
    fix="a thicker or shorter alternator cable",
    example="fails: 2.5 m of 6 mm² behind a 90 A alternator; passes: 1.4 m of 25 mm²",
    find=find,
    figures=((CableResult.supply_drop_v, CableResult.limit_v),
             (CableResult.return_drop_v, CableResult.return_limit_v),
             (CableResult.supply_ohm, CableResult.limit_ohm)),
    resistance=True,
    ambient=True,
)
