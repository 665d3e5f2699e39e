"""A relay coil has no suppression.

When a coil is switched off, its stored energy makes a spike of many hundred volts in whatever switched it. A resistor
or a diode across the coil absorbs it; with a diode the coil's polarity matters.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, SubjectKind
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import Polarity

FIX = "a relay with a built-in resistor or diode, or one across the coil"


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    for number, relay in of_circuits(network, _spiking, "relay").items():
        yield from _judge(rule, results, "circuit", network.circuit_ids[number], relay)
    for name, feed in results.plan.feed.items():
        if feed.relay is not None:
            yield from _judge(rule, results, "feed", name, feed.relay)


def _spiking(network: Network, number: int) -> Relay | None:
    """The relay of a circuit where its coil is not suppressed, or not as it should be; None otherwise."""
    circuit = network.circuits[number]
    relay = circuit.relay if circuit.out_of_scope is None else None
    kept = relay is not None and (relay.suppression == "resistor" or (
        relay.suppression == "diode" and not _reversed(relay, network.plan.vehicle.earthed)))
    return None if kept else relay


def _judge(rule: Rule, results: Results, kind: SubjectKind, name: str, relay: Relay) -> Iterator[Finding]:
    earthed = results.plan.vehicle.earthed
    if relay.suppression == "diode" and _reversed(relay, earthed):
        key = "wire_86" if relay.wire_86 else "wire_85"
        put = "the plan puts plus on terminal 85 and earth on 86" if earthed == "negative" else \
            "the car has positive earth and the plan does not put the supply, which is minus, on terminal 85"
        yield rule.finding(results, (kind, name), f"its relay's coil has a diode, and {put}: the diode then shorts the "
                           "coil's supply", fix="swap the wires at 85 and 86: with a diode, 86 is plus",
                           fields=(f"{kind}.{name}.relay.{key}",))
    if relay.suppression in ("diode", "resistor"):
        return
    path = f"{kind}.{name}.relay.suppression"
    if relay.suppression is None:
        yield rule.finding(results, (kind, name), "the plan does not say how its relay coil is "
                                                  "suppressed", consequence="not_judged",
                           fix=f"look at the relay: {FIX}", fields=(path,))
    elif relay.driver == "ecu":
        yield rule.finding(results, (kind, name), "a control unit drives its relay coil, which has no suppression",
                           fix=FIX, fields=(path,))
    else:
        yield rule.finding(results, (kind, name), "no coil suppression on its relay",
                           consequence="good_practice", fix=FIX, fields=(path,))


def _reversed(relay: Relay, earthed: Polarity) -> bool:
    """Whether the supply is not on the terminal that is plus with a diode: on 85 where the plan names the terminals the
    other way round at the ends of its wires, which is right with positive earth."""
    to, back = (relay.wire_86[-1].end if relay.wire_86 else None), (relay.wire_85[0].start if relay.wire_85 else None)
    on_85 = (to is not None and to.pin == "85") or (back is not None and back.pin == "86")
    return on_85 == (earthed == "negative")


RULE = Rule(
    consequence="damages_a_part",
    title="No coil suppression",
    source="all coils suppressed at the coil: California Department of Transportation, equipment standards, relays; an "
           "unsuppressed 12 V coil can throw 1000 to 1500 V: a relay maker's application note",
    caution="The spike kills control units and light-emitting diodes; with a diode, a coil wired the wrong way "
            "round is a short circuit.",
    fix=FIX,
    example="fails: a coil driven by the ECU without diode or resistor; passes: with a resistor",
    find=find,
)
