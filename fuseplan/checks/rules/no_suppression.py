"""Every relay coil needs something that quenches it.

When a coil is cut it throws its stored energy back as a spike of many hundred volts, into whatever switched it. A
resistor or a diode across the coil takes it up; a diode makes the way round of the coil's terminals matter.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, SubjectKind
from fuseplan.engine.results import Results
from fuseplan.plan.parts import Relay

CURE = "a relay with a built-in resistor or diode, or one across the coil"


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    for number in network.marked.get("relay", ()):
        name, circuit = network.circuit_ids[number], network.circuits[number]
        if circuit.relay is not None and circuit.out_of_scope is None:
            yield from _judge(rule, results, "circuit", name, circuit.relay)
    for name, feed in results.plan.feed.items():
        if feed.relay is not None:
            yield from _judge(rule, results, "feed", name, feed.relay)


def _judge(rule: Rule, results: Results, kind: SubjectKind, name: str, relay: Relay) -> Iterator[Finding]:
    if relay.suppression in ("diode", "resistor"):
        return
    path = f"{kind}.{name}.relay.suppression"
    if relay.suppression is None:
        yield rule.finding(results, (kind, name), "the plan does not say what quenches its relay coil", level="advice",
                           fix=f"look at the relay: {CURE}", fields=(path,))
    elif relay.driver == "ecu":
        yield rule.finding(results, (kind, name), "a control unit drives its relay coil and nothing quenches it",
                           fix=CURE, fields=(path,))
    else:
        yield rule.finding(results, (kind, name), "nothing quenches its relay coil", level="advice", fix=CURE,
                           fields=(path,))


RULE = Rule(
    level="warning",
    title="No coil suppression",
    source="all coils suppressed at the coil: California Department of Transportation, equipment standards, relays; an "
           "unsuppressed 12 V coil can throw 1000 to 1500 V: a relay maker's application note",
    caution="The spike kills control units and light-emitting diodes; with a diode, a coil wired the wrong way "
            "round is a short circuit.",
    fix=CURE,
    find=find,
)
