"""What a meter shows at the points of a circuit."""

from __future__ import annotations

import numpy as np

from fuseplan.bench import cold
from fuseplan.bench.expecting import (
    AS_WARM,
    DARK,
    NOT_ON,
    Expected,
    Figure,
    across_fuse,
    at_coil,
    between,
    contact_volts,
    not_said,
    span,
    unknown,
)
from fuseplan.bench.model import BenchModel
from fuseplan.bench.points import Point
from fuseplan.bench.relay_feeds import parted_feeds
from fuseplan.bench.series_lamp import BULB_W, SeriesLamp, behind
from fuseplan.engine.backfeed import Law, divided, law_of
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.source import open_circuit_v


def consumer_of(model: BenchModel, circuit: str, load: int) -> int:
    """Number of the consumer that stands for a load; -1 where there is none."""
    consumers, number = model.network.consumers, model.network.circuit_number[circuit]
    found = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD) & (consumers.number == load))
    return int(found[0]) if found.size else -1


def _lack(model: BenchModel, circuit: str, what: Unknown) -> Expected | None:
    missing = model.assessment.lacks(circuit)
    if leaves_unknown(missing, what):
        return not_said(", ".join(each.words for each in missing))
    return None


def at_circuit(model: BenchModel, point: Point, condition: str) -> Expected:
    """What a point of a circuit shows in a condition."""
    if point.unit == "ohm":
        return cold.resistance(model, point)
    if point.unit == "K":
        return AS_WARM
    what, name = point.what, point.subject
    if what == "off_v":
        return Expected(0.0, high=0.05)
    if what == "lamp_v":
        return DARK
    if what == "bulb_v":
        return _bulb_volts(model, name)
    row = model.row(condition, name)
    if row is None:
        return unknown(f"'{condition}' is no condition of this circuit")
    consumer = consumer_of(model, name, point.load)
    if what == "relay_feed_v":
        return _at_relay(model, name, row)
    if what == "plug_v":
        return _open_plug(model, name, row)
    if what.startswith("coil_") or what == "socket_v":
        return at_coil(model, row, ("circuit", name), what)
    if consumer < 0:
        return not_said("loads")
    on = _on(model, row, name)
    if (not on.any() and what not in ("current", "fuse_mv", "holder_mv")) or (what in _OF_LOAD and not on[consumer]):
        return unknown(NOT_ON)
    lack = _lack(model, name, Unknown.CURRENT if what in ("current", "load_current") else Unknown.VOLTAGE)
    if lack is not None:
        return lack
    if what in _OF_WAY and not model.assessment.results.known.consumer[consumer]:
        return unknown("the resistance of the way to it or back is not known")
    if what in ("fuse_mv", "holder_mv"):
        return across_fuse(model, row, ("circuit", name), _branch_current(model, name))
    return span(model, row, _figure(model, point, consumer))


_OF_WAY = ("feed_v", "load_v", "supply_mv", "return_mv", "earth_mv", "earth_point_mv", "wire_mv", "own_wire_mv",
           "own_earth_mv")
_OF_LOAD = ("load_current", "load_v", "supply_mv", "return_mv", "earth_mv", "wire_mv", "own_wire_mv", "own_earth_mv")


def _on(model: BenchModel, row: int, circuit: str) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    consumers = model.chosen[0].consumers
    mine = (consumers.circuit == model.network.circuit_number[circuit]) & (consumers.kind == LOAD)
    return np.asarray(mine & consumers.on[row])


def _branch_current(model: BenchModel, circuit: str) -> Figure:
    node = int(model.network.circuit_node[model.network.circuit_number[circuit]])
    return lambda variant, row: variant.supply_a(row, node)


def _figure(model: BenchModel, point: Point, consumer: int) -> Figure:
    """How a figure of a circuit is read from a solution."""
    network, what, name = model.network, point.what, point.subject
    circuit = network.plan.circuit[name]
    node = int(network.circuit_node[network.circuit_number[name]])
    feed = int(network.supply.parent[node])
    at, back = (int(each[consumer]) for each in (network.consumers.supply_node, network.consumers.return_node))
    load = circuit.load[point.load]
    earth = network.earth_node.get(load.earth or circuit.earth or "", 0)
    current = _branch_current(model, name)
    if what == "current":
        return current
    if what == "load_current":
        return lambda variant, row: variant.consumer_a(row, consumer)
    if what == "contact_mv":
        return contact_volts(circuit.relay, circuit.switch, current)
    if what == "wire_mv":
        device = model.assessment.fuse_of.get(("circuit", name))
        fuse_ohm = 0.0 if device is None else float(model.assessment.results.fuse_ohm[device])
        contact = contact_volts(circuit.relay, circuit.switch, current)
        return lambda variant, row: (variant.supply_v(row, feed) - variant.supply_v(row, at)
                                     - current(variant, row) * fuse_ohm - contact(variant, row))
    ends = {"feed_v": ((False, feed), None), "load_v": ((False, at), (True, back)),
            "supply_mv": ((False, feed), (False, at)), "return_mv": ((True, back), None),
            "earth_mv": ((True, back), (True, earth)), "earth_point_mv": ((True, earth), None),
            "own_wire_mv": ((False, int(network.supply.parent[at])), (False, at)),
            "own_earth_mv": ((True, back), (True, int(network.returns.parent[back])))}
    return between(*ends[what])


def _at_relay(model: BenchModel, name: str, row: int) -> Expected:
    """The terminal of a relay that stays live while the fuse of its other feed is out."""
    parted = parted_feeds(model.assessment.results, model.network.plan.circuit[name])
    assert parted is not None, "the point is there for a relay whose feeds can be parted alone"
    return span(model, row, between((False, model.network.feed_node.get(parted.feed or "", 0)), None))


def _open_plug(model: BenchModel, name: str, row: int) -> Expected:
    """An open connector shows its feed."""
    node = int(model.network.circuit_node[model.network.circuit_number[name]])
    return span(model, row, between((False, int(model.network.supply.parent[node])), None))


ELECTRONIC_SHARE = (0.05, 0.95)
"""Share of the voltage the bulb may have with electronics behind it: whatever they draw while they start."""


def _bulb_volts(model: BenchModel, name: str) -> Expected:
    """Volts across a bulb in the place of a blown fuse, the circuit switched on, if nothing is wrong but the fuse: its
    loads, cold, standing still or warm, are in series with it. Into a short it has the whole voltage, and nothing where
    the circuit is open: this tells whether a new fuse would blow, too."""
    network = model.network
    row = model.row("alone", name)
    if row is None:
        return unknown("it is not switched on with the engine off")
    consumers = network.consumers
    on = [index for index in model.own_loads(network.circuit_number[name]).nonzero()[0].tolist()
          if consumers.kind[index] == LOAD]
    volts, lamp = float(open_circuit_v(network.plan.battery, network.system_v)), SeriesLamp(BULB_W, network.system_v)
    warm: list[Law] = []
    siemens, electronic = 0.0, False
    for index in on:
        number = int(consumers.number[index])
        load = network.plan.circuit[name].load[number]
        cold_ohm = None if load.kind in ("electronic", None) else cold.load_span(load, network.system_v)
        if cold_ohm is None:
            electronic = True
            continue
        siemens += 1.0 / cold_ohm[1]
        warm.append(law_of(model.assessment.results, name, number))
    if not on:
        return unknown("none of its loads is on with the engine off")
    low, high = (share * volts for share in ELECTRONIC_SHARE)
    if not electronic:
        left, _ = divided(volts, [lamp.law], warm)
        high = behind(lamp, volts, 1.0 / siemens).lamp_v
        low = min(volts - left, high)
    return Expected(0.5 * (low + high), low, high)
