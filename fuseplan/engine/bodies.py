"""Which earth points are the body of the car, and which are bars and splices at the end of a lead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.plan.feed_way import is_bolted


def bodies_of(network: Network) -> list[str]:
    """Earth points that a feed may be shorted to: those not on the engine, without leads, to which nothing is bolted,
    unless more circuits are earthed there than on any other point. Where that leaves the battery's own alone, those on
    which more than sensors are earthed, or all."""
    earths = network.plan.earth
    points = [name for name in network.earth_node if name in earths and not earths[name].engine]
    for on_metal in (_bolted, _earths):
        leads = _leads(network, on_metal)
        bodies = [name for name in points if name not in leads]
        if any(earths[name].upstream is not None for name in bodies):
            busy = Counter(point for number, each in of_circuits(network, _earths).items() for point in {*each}
                           if network.circuits[number].role != "sensor_supply") if leads else Counter()
            most = max(busy[name] for name in bodies)
            return [name for name in points if name in bodies or busy[name] > most]
    return points


def _leads(network: Network, on_metal: Callable[[Network, int], tuple[str | None, ...]]) -> set[str | None]:
    """Earth points at the end of a wire alone to which no other point is bolted, and on which nothing is `on_metal` but
    circuits in the role of sensors, as stated."""
    plan = network.plan
    found: set[str | None] = {name for name, point in plan.earth.items() if point.wire and point.resistance is None}
    if found:
        sensors = {number for number in network.marked.get("role sensor_supply", ())
                   if network.circuits[number].role == "sensor_supply"}
        found.difference_update(*(each for number, each in of_circuits(network, on_metal).items()
                                  if number not in sensors))
        found.difference_update(point.upstream for point in plan.earth.values() if not point.wire)
        found.discard(None if plan.alternator is None else plan.alternator.earth)
    return found


def _bolted(network: Network, number: int) -> tuple[str | None, ...]:
    """The earth points to which loads of a circuit are bolted, or, without loads, the circuit itself."""
    circuit = network.circuits[number]
    return tuple(load.earth or circuit.earth for load in circuit.load if is_bolted(circuit, load)) if circuit.load \
        else () if circuit.earth_wire else (circuit.earth,)


def _earths(network: Network, number: int) -> tuple[str | None, ...]:
    """The earth points of a circuit, its loads and its relay's coil."""
    circuit = network.circuits[number]
    return (circuit.earth, *(load.earth for load in circuit.load),
            *(() if circuit.relay is None else (circuit.relay.coil_earth,)))
