"""What a meter shows at a point if the car is as planned: the figure, and its band from both ends of what is known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fuseplan.bench import cold
from fuseplan.bench.fuse_millivolts import BAND, fuse_of, fuse_volts
from fuseplan.bench.model import REST_V, BenchModel, Variant, bench_model
from fuseplan.bench.points import Point
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.assumed import contact_given, contact_taken
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.source import open_circuit_v
from fuseplan.plan.parts import Relay, Switch

Figure = Callable[[Variant, int], float]


@dataclass(frozen=True)
class Expected:
    """What a point should show. Figures in V, A, ohm or K; `value` None where it is no number, or not known."""

    value: float | None
    low: float | None = None
    high: float | None = None
    """Ends of the band; None where there is none on that side."""
    words: str = ""
    """Said instead of a number, or beside it: ``open``, ``any, not 0``, why it is not known."""
    known: bool = True
    """False: the plan does not say enough; a reading then says nothing about the plan."""


def unknown(words: str) -> Expected:
    """That the plan does not say enough, and for want of what."""
    return Expected(None, words=words, known=False)


OPEN = Expected(None, low=1e6, words="open")
NOT_ON = "it is not on in this condition"
NOISE = 1e-7
NOTHING_A = 0.05
"""A battery current of this or less is none: the alternator carries everything."""


def expected(assessment: Assessment, point: Point, condition: str) -> Expected:
    """What a point shows in a condition if the car is as planned.

    Parameters
    ----------
    assessment : Assessment
    point : Point
        Of `points`.
    condition : str
        Id of a condition of the plan, or ``unpowered``, ``rested`` or ``alone``.
    """
    found: Expected = _BY_KIND[point.kind](bench_model(assessment), point, condition)
    return found


def _span(model: BenchModel, row: int, figure: Figure) -> Expected:
    value, low, high = model.span(row, figure)
    if math.isnan(value) or math.isnan(low) or math.isnan(high):
        return unknown("no state was found that battery, alternator and wires allow")
    return Expected(_clean(value), _clean(low), _clean(high))


def _clean(value: float) -> float:
    """What is left of nothing when voltages are settled is nothing."""
    return 0.0 if abs(value) < NOISE else value


def consumer_of(model: BenchModel, circuit: str, load: int) -> int:
    """Number of the consumer that stands for a load; -1 where there is none."""
    consumers, number = model.network.consumers, model.network.circuit_number[circuit]
    found = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD) & (consumers.number == load))
    return int(found[0]) if found.size else -1


def _lack(model: BenchModel, circuit: str, what: Unknown) -> Expected | None:
    missing = model.assessment.lacks(circuit)
    if leaves_unknown(missing, what):
        return unknown("the plan does not say: " + ", ".join(each.words for each in missing))
    return None


def _circuit(model: BenchModel, point: Point, condition: str) -> Expected:
    if point.unit == "ohm":
        return cold.resistance(model, point)
    if point.unit == "K":
        return Expected(0.0, high=3.0, words="as warm as the like part")
    what, name = point.what, point.subject
    if what == "off_v":
        return Expected(0.0, high=0.05)
    row = model.row(condition, name)
    if row is None:
        return unknown(f"'{condition}' is no condition of this circuit")
    consumer = consumer_of(model, name, point.load)
    if what in ("lamp_v", "plug_v"):
        return _first_power(model, point, row)
    if what in ("coil_v", "coil_current"):
        return _coil(model, row, ("circuit", name), what)
    if consumer < 0:
        return unknown("the plan does not say: loads")
    on = _on(model, row, name)
    if (not on.any() and what not in ("current", "fuse_mv", "holder_mv")) or (what in _OF_LOAD and not on[consumer]):
        return unknown(NOT_ON)
    lack = _lack(model, name, Unknown.CURRENT if what == "current" else Unknown.VOLTAGE)
    if lack is not None:
        return lack
    if what not in ("current", "fuse_mv", "holder_mv", "contact_mv") and not model.assessment.results.known.consumer[
            consumer]:
        return unknown("the resistance of the way to it or back is not known")
    if what in ("fuse_mv", "holder_mv"):
        return _fuse(model, row, ("circuit", name), _branch_current(model, name))
    return _span(model, row, _figure(model, point, consumer))


_OF_LOAD = ("load_v", "supply_mv", "return_mv", "earth_mv", "wire_mv")


def _on(model: BenchModel, row: int, circuit: str) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    consumers = model.cold.network.consumers
    mine = (consumers.circuit == model.network.circuit_number[circuit]) & (consumers.kind == LOAD)
    return np.asarray(mine & consumers.on[row])


def _branch_current(model: BenchModel, circuit: str) -> Figure:
    node = int(model.network.circuit_node[model.network.circuit_number[circuit]])
    return lambda variant, row: float(variant.solution.supply_a[row, node])


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
        return current if point.load == 0 else lambda variant, row: float(variant.solution.consumer_a[row, consumer])
    if what == "contact_mv":
        return contact_volts(circuit.relay, circuit.switch, current)
    if what == "wire_mv":
        device = model.assessment.fuse_of.get(("circuit", name))
        fuse_ohm = 0.0 if device is None else float(model.assessment.results.fuse_ohm[device])
        contact = contact_volts(circuit.relay, circuit.switch, current)
        return lambda variant, row: float(variant.solution.supply_v[row, feed] - variant.solution.supply_v[row, at]
                                          - current(variant, row) * fuse_ohm - contact(variant, row))
    ends = {"feed_v": ((False, feed), None), "load_v": ((False, at), (True, back)),
            "supply_mv": ((False, feed), (False, at)), "return_mv": ((True, back), None),
            "earth_mv": ((True, back), (True, earth)), "earth_point_mv": ((True, earth), None)}
    return _between(*ends[what])


def _between(plus: tuple[bool, int], minus: tuple[bool, int] | None) -> Figure:
    """Voltage between two nodes, each of the return side or not; None is battery negative."""

    def figure(variant: Variant, row: int) -> float:
        solution = variant.solution
        ends = [0.0 if end is None else float((solution.return_v if end[0] else solution.supply_v)[row, end[1]])
                for end in (plus, minus)]
        return ends[0] - ends[1]

    return figure


def contact_volts(relay: Relay | None, switch: Switch | None, current: Figure) -> Figure:
    """Drop of the contact a current passes; what is assumed of it counts as nothing where assumed joints do."""
    given, taken = contact_given(relay, switch), contact_taken(relay, switch)

    def figure(variant: Variant, row: int) -> float:
        assumed = taken is not None and bool(variant.network.supply_taken.any())
        return current(variant, row) * (given + (taken.ohm if taken is not None and assumed else 0.0))

    return figure


def _fuse(model: BenchModel, row: int, owner: tuple[str, str], current: Figure) -> Expected:
    """Drop across a fuse, its element warmed by the current; the band holds what makers' resistances differ by."""
    fuse = fuse_of(model.assessment, owner)
    if fuse is None:
        return unknown("no cold resistance is on file for this fuse")
    value, low, high = model.span(row, current)
    if math.isnan(value + low + high):
        return unknown("no state was found that battery, alternator and wires allow")
    return Expected(fuse_volts(fuse, value), fuse_volts(fuse, low) * (1.0 - BAND),
                    fuse_volts(fuse, high) * (1.0 + BAND))


def _coil(model: BenchModel, row: int, owner: tuple[str, str], what: str) -> Expected:
    consumers = model.cold.network.consumers
    found = [index for index in np.flatnonzero(consumers.kind == COIL).tolist() if consumers.owner[index] == owner]
    if not found or not consumers.on[row, found[0]]:
        return unknown("its coil is not driven in this condition")
    coil = found[0]
    if what == "coil_v":
        return _span(model, row, lambda variant, at: float(variant.solution.across_v[at, coil]))
    return _span(model, row, lambda variant, at: float(variant.solution.consumer_a[at, coil]))


def _first_power(model: BenchModel, point: Point, row: int) -> Expected:
    """With the loads unplugged: nothing flows, so a series lamp is dark and an open connector shows its feed."""
    if point.what == "lamp_v":
        return Expected(0.0, high=0.1, words="dark")
    node = int(model.network.circuit_node[model.network.circuit_number[point.subject]])
    return _span(model, row, _between((False, int(model.network.supply.parent[node])), None))


def _feed(model: BenchModel, point: Point, condition: str) -> Expected:
    network, name, what = model.network, point.subject, point.what
    if point.unit == "ohm":
        return OPEN
    if point.unit == "K":
        return Expected(0.0, high=3.0, words="as warm as the like part")
    if what == "lamp_v":
        return Expected(0.0, high=0.1, words="dark")
    node = network.feed_node[name]
    if condition == "alone" and what == "volts":
        # Nothing is on behind it: it shows what the battery has.
        return _rested(model)
    if condition == "rested":
        live = what == "volts" and network.feed_live[name][0]
        return _rested(model) if live else unknown("it is dead with the key off")
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of a feed")
    feed = network.plan.feed[name]
    if not network.feed_live[name][int(model.cold.network.state[row])]:
        return Expected(0.0, high=0.05, words="dead") if what == "volts" else unknown("it is dead in this condition")

    def current(variant: Variant, at: int) -> float:
        return float(variant.solution.supply_a[at, node])

    if what == "current":
        return _span(model, row, current)
    if what in ("fuse_mv", "holder_mv"):
        return _fuse(model, row, ("feed", name), current)
    if what in ("coil_v", "coil_current"):
        return _coil(model, row, ("feed", name), what)
    if what == "contact_mv":
        return _span(model, row, contact_volts(feed.relay, feed.switch, current))
    if not model.assessment.results.known.supply_path[node]:
        return unknown("the resistance of the way to it is not known")
    if what == "volts":
        return _span(model, row, _between((False, node), None))
    return _span(model, row, _between((False, int(network.supply.parent[node])), (False, node)))


def _earth(model: BenchModel, point: Point, condition: str) -> Expected:
    network = model.network
    node, row = network.earth_node[point.subject], model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of an earth point")
    if point.what == "current":
        return _span(model, row, lambda variant, at: float(variant.solution.return_a[at, node]))
    if not model.assessment.results.known.return_path[node]:
        return unknown("the resistance of the way to the battery is not known")
    up = None if point.what == "drop_mv" else (True, int(network.returns.parent[node]))
    return _span(model, row, _between((True, node), up))


def _rested(model: BenchModel) -> Expected:
    volts = open_circuit_v(model.network.plan.battery, model.network.system_v)
    reach = REST_V * model.network.system_v / 12.0
    return Expected(float(volts), float(volts) - reach, float(volts) + reach)


def _battery(model: BenchModel, point: Point, condition: str) -> Expected:
    what = point.what
    if what == "ripple_mv":
        return Expected(None, high=0.1, words="less than 100 mV")
    if what == "load_test_v":
        return unknown("by its limit alone: what a good battery shows depends on its temperature")
    if what == "volts" and condition == "rested":
        return _rested(model)
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of the battery")
    if what in ("volts", "reserve_v"):
        return _span(model, row, lambda variant, at: float(variant.solution.root_v[at]))
    found = _span(model, row, lambda variant, at: float(variant.solution.battery_a[at]))
    charging = model.assessment.results.source.running[row] if condition != "alone" else False
    if what == "current" and charging and found.value is not None and found.value <= NOTHING_A:
        # How fast a battery takes its charge is not followed: any current into it is right.
        return Expected(0.0, None, max(found.high or 0.0, NOTHING_A), "0 or charging (negative)")
    return found


def _alternator(model: BenchModel, point: Point, condition: str) -> Expected:
    row = model.row(condition)
    if row is None:
        return unknown(f"'{condition}' is no condition of the alternator")
    results, machine = model.assessment.results, model.network.alternator
    if not results.charging_known:
        return unknown("the plan does not say: output of the alternator")
    if not results.source.running[row]:
        return unknown("the engine is not running in this condition")
    if point.what == "current":
        return _span(model, row, lambda variant, at: float(variant.solution.alternator_a[at]))
    if not results.known.alternator_cable:
        return unknown("the resistance of the alternator cable or of its earth is not known")
    consumers = model.network.consumers
    at, back = int(consumers.supply_node[machine]), int(consumers.return_node[machine])
    if point.what == "volts":
        return _span(model, row, _between((False, at), (True, back)))
    if point.what == "cable_mv":
        return _span(model, row, _between((False, at), (False, 0)))
    earth = _span(model, row, _between((True, back), None))
    # Its case lies below the negative post while it charges; a meter is put the way round that reads positive.
    return earth if earth.value is None else Expected(*(_turned(earth)))


def _turned(span: Expected) -> tuple[float, float, float]:
    assert span.value is not None
    assert span.low is not None
    assert span.high is not None
    return -span.value, -span.high, -span.low


def _can(model: BenchModel, point: Point, condition: str) -> Expected:
    if point.what == "pair_ohm":
        return Expected(60.0, 55.0, 65.0)
    return OPEN


_BY_KIND = {"circuit": _circuit, "feed": _feed, "earth": _earth, "battery": _battery, "alternator": _alternator,
            "can": _can}
