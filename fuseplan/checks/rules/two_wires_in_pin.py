"""Two wires are crimped into one contact, or end on one pin.

A contact is made for one wire. Two of them crimp badly, leak past the seal, and nobody can part them on the road. Where
together they carry more than their terminal is rated for, it can burn, though each alone passes.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from fuseplan.checks.pins import area_mm2, connector_subject, pin_path, through_contact_a, wires_in
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import owner_path, owner_subject, owner_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_the_rest
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import CircuitEnd, pins_of, wires_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.tables.terminals import TERMINALS, terminal_limit_a

APART = "a pin for each of the wires, or one wire to a terminal rated for both"


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    yield from _in_words(rule, results)
    if not results.plan.connector:
        return
    ends = results.network.nets.ends
    for at, _, pin in pins_of(results.plan):
        found = wires_in(ends.get(at, []))
        count = max(int(pin.wires or 1), len(found))
        if count > 1:
            names, overload = _owners(results, found), _overload(results, found)
            yield rule.finding(
                results, connector_subject(at),
                f"{count} wires in {pin_words(results.plan, at)}" + (f": {names}" if len(found) > 1 else "")
                + overload, consequence="burns" if overload else "fails_in_use", fix=APART if overload else None,
                figure=float(count), limit=1.0, unit="wires", fields=(pin_path(at, "wires"),))


def _in_words(rule: Rule, results: Results) -> Iterator[Finding]:
    """The same for connectors that only the ends of wires name. What starts there is taken to be in the other half of
    the connector than what ends there."""
    network = results.network
    named = [network.circuit_ids[number] for number in network.marked.get("end", ())]
    on_pins = _named_ends(results.plan, named) if named else of_the_rest(network, _ends_of_the_rest)
    found: dict[tuple[str, str, str], list[CircuitEnd]] = defaultdict(list)
    for (connector, pin, side), end in on_pins:
        found[connector, pin, side].append(end)
    for (connector, pin, _), listed in found.items():
        ends = wires_in(listed)
        if len(ends) > 1:
            (kind, name), last = ends[-1].owner, ends[-1]
            overload = _overload(results, ends)
            part = owner_path((kind, "" if kind == "alternator" else name))
            path = f"{part}.{last.place}.{last.number}.{last.side}.pin"
            yield rule.finding(
                results, owner_subject((kind, name)),
                f"{len(ends)} wires in {connector} pin {pin}: {_owners(results, ends)}{overload}",
                consequence="burns" if overload else "fails_in_use", fix=APART if overload else None,
                figure=float(len(ends)), limit=1.0, unit="wires", fields=(path,))


def _overload(results: Results, ends: list[CircuitEnd]) -> str:
    """That the wires of a contact carry more together than their terminal is rated for, in words; empty where they do
    not, or no terminal is named."""
    named = [at.terminal for end in ends
             if (at := end.segment.start if end.side == "start" else end.segment.end) is not None and at.terminal]
    area = max((area_mm2(end.segment.size) for end in ends), default=math.nan)
    rated = [found.value for terminal in named if terminal in TERMINALS and not math.isnan(area)
             and (found := terminal_limit_a(terminal, area)) is not None]
    through = float(through_contact_a(results, ends, results.demands)[0]) if rated else math.nan
    return f", {writing.burden(through, 'A')} together through a terminal rated for {writing.rating(min(rated))}" \
        if rated and exceeds(through, min(rated)) else ""


def _owners(results: Results, ends: list[CircuitEnd]) -> str:
    return ", ".join(dict.fromkeys(owner_words(results, end.owner) for end in ends))


def _named_ends(plan: Plan, circuits: list[str]) -> list[tuple[tuple[str, str, str], CircuitEnd]]:
    """The ends of wires, of all parts and these circuits, on pins of connectors that the plan does not have: connector,
    pin and side of each."""
    return [((end.connector, end.pin, side), CircuitEnd(owner, place, number, side, segment))
            for owner, place, wire in wires_of(plan, circuits) for number, segment in enumerate(wire)
            for side, end in (("start", segment.start), ("end", segment.end))
            if end is not None and end.connector and end.pin and end.connector not in plan.connector]


def _ends_of_the_rest(network: Network) -> list[tuple[tuple[str, str, str], CircuitEnd]]:
    return _named_ends(network.plan, [])


RULE = Rule(
    consequence="burns",
    title="Two wires in one contact",
    source="one wire per pin: a harness maker's guide; of 418 contact points in a published harness description 376 "
           "hold one wire, and most of the others are splices",
    caution="The second wire works loose and takes its circuit with it.",
    fix="join the two in a splice behind the connector and bring one wire to the contact",
    example="fails: two circuits that end on pin 3; passes: one",
    find=find,
)
