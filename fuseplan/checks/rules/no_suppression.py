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
    obeys="""
[circuit.pump]
feed = "bus"
fuse = { kind = "regular", rating = "15 A" }
relay.contact = "mini_40"
relay.coil_feed = "ignition_bus"
relay.driver = "ecu"
relay.driver_limit = "1 A"
relay.suppression = "resistor"
wire = [{ size = "4 mm2", length = "3 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.pump.load]]
current = "6 A"
kind = "motor"
when = ["engine"]
evidence = "measured"
""",
    breaks="""
[circuit.pump]
feed = "bus"
fuse = { kind = "regular", rating = "15 A" }
relay = { contact = "mini_40", coil_feed = "ignition_bus", driver = "ecu", driver_limit = "1 A", suppression = "none" }
wire = [{ size = "4 mm2", length = "3 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.pump.load]]
current = "6 A"
kind = "motor"
when = ["engine"]
evidence = "measured"
""",
)
