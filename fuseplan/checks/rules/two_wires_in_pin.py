"""Two wires are crimped into one contact, or end on one pin.

A contact is made for one wire. Two of them crimp badly, leak past the seal, and nobody can part them on the road.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path, wires_in
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.nets import circuit_ends, pins_of


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    if not results.plan.connector:
        return
    ends = circuit_ends(results.plan)
    for at, _, pin in pins_of(results.plan):
        found = wires_in(ends.get(at, []))
        count = max(int(pin.wires or 1), len(found))
        if count > 1:
            names = ", ".join(dict.fromkeys(end.owner[1] for end in found))
            yield rule.finding(
                results, connector_subject(at),
                f"{count} wires in {at.words}" + (f": {names}" if len(found) > 1 else ""),
                figure=float(count), limit=1.0, unit="wires", fields=(pin_path(at, "wires"),))


RULE = Rule(
    consequence="fails_in_use",
    title="Two wires in one contact",
    source="one wire per pin: a harness maker's guide; of 418 contact points in a published harness description 376 "
           "hold one wire, and most of the others are splices",
    caution="The second wire works loose and takes its circuit with it.",
    fix="join the two in a splice behind the connector and bring one wire to the contact",
    example="fails: two circuits that end on pin 3; passes: one",
    find=find,
)
