"""The feeds and the earth points on the way from a part to the battery, and the feeds that parts are on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fuseplan.plan.model import Circuit, Earth, Feed, Plan
from fuseplan.plan.parts import Load


def way_to(plan: Plan, name: str | None) -> Iterator[str]:
    """A feed and those it comes from, up to the battery."""
    return _upstream(plan.feed, name)


def way_back(plan: Plan, name: str | None) -> Iterator[str]:
    """An earth point and those it leads to, down to the battery."""
    return _upstream(plan.earth, name)


def taken_from(plan: Plan) -> Iterator[str]:
    """The feeds that something takes from or hands to, other feeds and the coils of relays left aside."""
    if plan.alternator is not None:
        yield from filter(None, (plan.alternator.feed, plan.alternator.sense_feed))
    for circuit in plan.circuit.values():
        yield from filter(None, (circuit.feed, *circuit.also_from, *(load.to_feed for load in circuit.load)))
    yield from (pin.feed for connector in plan.connector.values() for pin in connector.pin.values()
                if pin.feed is not None)


def only_named(circuit: Circuit) -> bool:
    """Whether a circuit is no more than a name yet: fed from nothing, without a load and without a wire. It is unknown
    itself; nothing shares a feed with it, and there is no wire that could burn."""
    return circuit.feed is None and not (circuit.also_from or circuit.load or circuit.wire)


def is_bolted(circuit: Circuit, load: Load) -> bool:
    """Whether a load has no earth wire on its way to its earth point, and counts as bolted to it: that of its circuit
    leads to the circuit's earth point, and from the loads that have none of their own."""
    return not load.earth_wire and (load.earth is not None or not circuit.earth_wire)


def _upstream(points: Mapping[str, Feed] | Mapping[str, Earth], name: str | None) -> Iterator[str]:
    seen = set[str]()
    while name is not None and name in points and name not in seen:
        seen.add(name)
        yield name
        name = points[name].upstream
