"""The voltage drop between alternator and battery, supply side or earth side, is too high.

What the cable loses is missing at the battery: it stays half charged and the alternator gets the blame. A bigger
alternator on the old cable overheats it as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.drop_sizes import LARGEST_TIMES
from fuseplan.checks.fixes import size_of_copper
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.stated_resistances import StatedResistance, worst_on_way
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.alternator_cable import AlternatorCable
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.charging import CableResult

MARGIN = 1.1
"""Copper beyond what a drop asks for: a strap is longer than it was planned, and warm. Common practice, no
source."""


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
        excess_ohm = (lead.return_drop_v - lead.return_limit_v.value) / lead.rated_a
        cause = _stated(results, True, excess_ohm)
        words, sizes, strap = _strap_fix(results, excess_ohm) if cause is None else (cause.words, (), None)
        key = cause.path if cause is not None else None if strap is None else segment_path(results, strap, "size")
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"earth-side voltage drop from alternator to battery {writing.burden(lead.return_drop_v, 'V')} at "
            f"{writing.rating(lead.rated_a)}; the limit is "
            f"{writing.limit(lead.return_limit_v.value, 'V')}", figure=lead.return_drop_v,
            limit=lead.return_limit_v.value, unit="V", source=lead.return_limit_v.source.line(),
            fix=words, fields=("alternator.earth",) if key is None else (key, "alternator.earth"),
            values=tuple((segment_path(results, index, "size"), size) for index, size in sizes), sizes=sizes)


def _strap_fix(results: Results, excess_ohm: float) -> tuple[str, tuple[tuple[int, str], ...], int | None]:
    """What to do about the wire with the most resistance on the alternator's way back to the battery, that wire with
    the size that takes away what is too much, where there is one, and its number; None where there is no wire."""
    network, segments = results.network, results.network.segments
    way = set(network.returns.way(int(network.consumers.return_node[network.alternator])).tolist())
    wires = [index for index in np.flatnonzero(segments.returns & segments.r20_known).tolist()
             if int(segments.branch[index]) in way]
    strap = max(wires, key=lambda index: float(segments.r20_ohm[index]), default=None)
    if strap is None:
        return "a thicker or shorter engine strap, clean joints", (), None
    has = float(segments.r20_ohm[strap])
    times = MARGIN * has / (has - excess_ohm) if has > excess_ohm else math.inf
    size = size_of_copper(results, strap, times) if at_most(times, LARGEST_TIMES) else None
    size = None if size is None else asked_too(results, strap, size)
    thicker = "a thicker or shorter wire" if size is None else f"fit {network.stock.wire_words(size)}"
    words = f"{thicker} in place of {segment_words(results, strap)}, clean joints"
    return words, () if size is None else ((strap, size),), strap


def _stated(results: Results, returns: bool, excess_ohm: float) -> StatedResistance | None:
    """What is to be mended between alternator and battery instead of the wire, if anything."""
    network = results.network
    node = (network.consumers.return_node if returns else network.consumers.supply_node)[network.alternator]
    return worst_on_way(results, returns, int(node), excess_ohm)


def _supply(rule: Rule, results: Results, lead: AlternatorCable) -> Iterator[Finding]:
    limit = lead.limit_v
    allowed_ohm = limit.value / lead.rated_a if limit is not None and exceeds(lead.supply_drop_v, limit.value) else \
        lead.limit_ohm.value
    cause = _stated(results, False, lead.supply_ohm - allowed_ohm) if exceeds(lead.supply_ohm, allowed_ohm) else None
    fields = (*(() if cause is None else (cause.path,)), "alternator.cable.0.size", "alternator.cable.0.length")
    if limit is not None and exceeds(lead.supply_drop_v, limit.value):
        whole = lead.sensed_drop_v > 0.0 and at_most(lead.sensed_drop_v, lead.made_up_v)
        made_up = whole and at_most(lead.supply_drop_v - lead.made_up_v, limit.value)
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"voltage drop of the alternator cable {writing.burden(lead.supply_drop_v, 'V')} at "
            f"{writing.rating(lead.rated_a)}; the limit is {writing.limit(limit.value, 'V')}"
            f"{_sensed_words(lead)}",
            consequence="good_practice" if made_up else None, figure=lead.supply_drop_v,
            limit=limit.value, unit="V", source=limit.source.line(), fields=fields,
            fix=cause.words if cause is not None else
            f"a cable of {writing.burden(lead.supply_drop_v / limit.value, 'factor')} times the cross-section, or a "
            "shorter one")
    elif exceeds(lead.supply_ohm, lead.limit_ohm.value):
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"the alternator cable has {writing.burden(lead.supply_ohm, 'ohm')}; the limit of a workshop test is "
            f"{writing.limit(lead.limit_ohm.value, 'ohm')} ({lead.limit_ohm.source.place})", figure=lead.supply_ohm,
            limit=lead.limit_ohm.value, unit="ohm", source=lead.limit_ohm.source.line(), fields=fields,
            fix=cause.words if cause is not None else
            f"a cable of {writing.burden(lead.supply_ohm / lead.limit_ohm.value, 'factor')} times the cross-section")


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
