"""More than four wires end on one earth stud.

A stack of ring terminals loosens as it settles, and the top one comes loose first. Counted are the earth wires and
straps of the plan; a load earthed by its own case does not count.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import chain

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.coils import lands_on_earth
from fuseplan.plan.parts import Relay

MOST = 4


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan = results.plan
    wires = Counter(chain.from_iterable((*of_circuits(results.network, _ending_on).values(),
                                         *(_of_coil(feed.relay) for feed in plan.feed.values()))))
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


def _ending_on(network: Network, number: int) -> list[str] | None:
    """The earth point of each earth wire of a circuit, its loads and its relay's coil; None without any."""
    circuit = network.circuits[number]
    common = circuit.earth if circuit.earth_wire else None
    own = None if common is not None else circuit.earth
    ends = [own if load.earth is None else load.earth for load in circuit.load if load.earth_wire]
    found = [each for each in (*ends, common) if each is not None]
    if circuit.out_of_scope is None:
        found += _of_coil(circuit.relay)
    return found or None


def _of_coil(relay: Relay | None) -> list[str]:
    return [relay.coil_earth] if relay is not None and relay.coil_earth is not None and lands_on_earth(relay) else []


RULE = Rule(
    consequence="good_practice",
    title="Too many wires on one stud",
    source="at most four wires on one stud: AC 21-99 (Australian aircraft wiring and bonding), section 2, chapter 13",
    caution="A loose earth makes many circuits misbehave at once.",
    fix="a second stud",
    example="fails: five lamp earth wires on one stud; passes: one wire",
    find=find,
)
