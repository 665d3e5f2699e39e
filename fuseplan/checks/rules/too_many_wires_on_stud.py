"""More than four wires end on one earth stud.

A stack of ring terminals loosens as it settles, and the top one comes loose first. Counted are the earth wires and
straps of the plan; a load earthed by its own case does not count.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.coils import lands_on_earth, relays_of

MOST = 4


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan = results.plan
    wires: Counter[str] = Counter()
    for circuit in plan.circuit.values():
        common = circuit.earth if circuit.earth_wire else None
        for load in circuit.load:
            if load.earth is not None:
                wires[load.earth] += bool(load.earth_wire)
            elif common is None and circuit.earth is not None:
                wires[circuit.earth] += bool(load.earth_wire)
        if common is not None:
            wires[common] += 1
    for _, relay in relays_of(plan):
        if relay.coil_earth is not None and lands_on_earth(relay):
            wires[relay.coil_earth] += 1
    for name, earth in plan.earth.items():
        if earth.wire:
            wires[name] += 1
            if earth.upstream is not None:
                wires[earth.upstream] += 1
    for name, count in wires.items():
        if count > MOST and name in plan.earth:
            studs = -(-count // MOST)
            yield rule.finding(
                results, ("earth", name), f"{count} wires end on it; the limit is {MOST}", figure=float(count),
                limit=float(MOST), unit="wires",
                fix=f"{studs} studs, or a bar with a screw for each wire, and an earth point for each in the plan",
                fields=(f"earth.{name}",))


RULE = Rule(
    consequence="good_practice",
    title="Too many wires on one stud",
    source="at most four wires on one stud: AC 21-99 (Australian aircraft wiring and bonding), section 2, chapter 13",
    caution="A loose earth makes many circuits misbehave at once.",
    fix="a second stud",
    example="fails: five lamp earth wires on one stud; passes: one wire",
    find=find,
)
