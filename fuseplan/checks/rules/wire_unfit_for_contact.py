"""A wire is too thick or too thin for its terminal, or for the contact or the seal of its connector.

A crimp holds only the sizes its contact is made for, and a seal on too thin a wire lets water in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.pins import area_mm2, connector_subject, pin_path, wire_areas_mm2, wires_in
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.checks.terminals_on_wires import terminals_on_wires
from fuseplan.engine.at_limit import at_most, falls_short
from fuseplan.engine.results import Results
from fuseplan.plan.looms import Connector, Pin
from fuseplan.plan.nets import GONE, CircuitEnd, PinId, pins_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.tables import terminals

SAME = 1e-3
"""Areas and diameters this close, relatively, are the same: printed sizes are rounded."""


PAST_PRINTED = 2.0
"""A terminal holds no wire of more than so many times the copper of the thickest it is printed for, nor of less than
one part in so many of the thinnest: three gauge numbers, as makers differ. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    yield from _terminals(rule, results)
    if not results.plan.connector:
        return
    ends = results.network.nets.ends
    for at, connector, pin in pins_of(results.plan):
        if pin.fate not in GONE:
            yield from _contact(rule, results, at, connector, pin, wires_in(ends.get(at, [])))
            yield from _seal(rule, results, at, connector, pin)


def _terminals(rule: Rule, results: Results) -> Iterator[Finding]:
    """Wires far from what the terminal at their end, or in the relay's socket, is made for."""
    for index, terminal, path in terminals_on_wires(results):
        area = float(results.network.segments.area_mm2[index])
        if terminal not in terminals.TERMINALS or math.isnan(area):
            continue
        printed = terminals.wires_taken_mm2(terminal)
        least, most = printed.value
        is_least = falls_short(area, least / PAST_PRINTED)
        if not is_least and at_most(area, most * PAST_PRINTED):
            continue
        limit = least if is_least else most
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, index)} is too {'thin' if is_least else 'thick'} for a "
            f"{terminals.TERMINALS[terminal]}: the {'thinnest' if is_least else 'thickest'} wire on file for it has "
            f"{(writing.burden if is_least else writing.limit)(limit, 'mm²')}", figure=area, limit=limit, unit="mm²",
            source=printed.source.line(), figure_side="limit" if is_least else "burden",
            fix="check the size on the wire; if it is right, fit a terminal made for it",
            fields=(segment_path(results, index, "size"), path))


def _contact(rule: Rule, results: Results, at: PinId, connector: Connector, pin: Pin, found: list[CircuitEnd]
             ) -> Iterator[Finding | Unjudged]:
    if connector.smallest_wire is None and connector.largest_wire is None:
        return
    total = math.fsum(wire_areas_mm2(pin, found))
    if math.isnan(total):
        yield rule.unjudged(connector_subject(at), f"whether the wire in {pin_words(results.plan, at)} fits its "
                                                   "contact: size not entered")
        return
    for size, is_least in ((connector.smallest_wire, True), (connector.largest_wire, False)):
        limit = area_mm2(size)
        wrong = total < limit * (1.0 - SAME) if is_least else total > limit * (1.0 + SAME)
        if wrong:
            yield rule.finding(
                results, connector_subject(at),
                f"{writing.stated(total, 'mm²')} of conductor in {pin_words(results.plan, at)}; its contact takes "
                f"{size} at {'least' if is_least else 'most'}", figure=total, limit=limit, unit="mm²",
                figure_side="limit" if is_least else "burden",
                fields=(pin_path(at, "size"), f"connector.{at.connector}.{'smallest' if is_least else 'largest'}_wire"))


def _seal(rule: Rule, results: Results, at: PinId, connector: Connector, pin: Pin) -> Iterator[Finding | Unjudged]:
    least, most = connector.smallest_diameter, connector.largest_diameter
    if connector.seal in (None, "unsealed") or (least is None and most is None):
        return
    if pin.outside_diameter is None:
        yield rule.unjudged(connector_subject(at), f"whether the wire in {pin_words(results.plan, at)} fits its "
                                                   "seal: its outside diameter is not entered")
        return
    over = float(pin.outside_diameter)
    for limit, is_least in ((least, True), (most, False)):
        if limit is not None and (over < float(limit) * (1.0 - SAME) if is_least
                                  else over > float(limit) * (1.0 + SAME)):
            yield rule.finding(
                results, connector_subject(at),
                f"{pin_words(results.plan, at)}: {writing.stated(over * 1000.0, 'mm')} over the insulation; its seal "
                f"takes {limit} at {'least' if is_least else 'most'}", figure=over, limit=float(limit), unit="m",
                figure_side="limit" if is_least else "burden", fields=(pin_path(at, "outside_diameter"),))


RULE = Rule(
    consequence="fails_in_use",
    title="Wire does not fit contact or seal",
    source="sizes and diameters the maker of the connector gives for contact and seal, as entered; terminals: the "
           "wires on file, or within twice their copper: common practice, no source",
    caution="A crimp on the wrong size pulls off, and a seal that does not close lets water wick along the strands.",
    fix="the contact or seal of the same family made for this wire, or a wire of a size they are made for",
    example="fails: 2.5 mm² in a contact for 0.5 to 1 mm²; passes: 1 mm²",
    find=find,
)
