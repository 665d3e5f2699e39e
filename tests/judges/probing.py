"""Finding a fault on a car by following what the program asks for, reading after reading."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fuseplan.bench.diagnosis import diagnose
from fuseplan.bench.diagnosis_faults import elements_of
from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.diagnosis_tree import Element
from fuseplan.bench.diagnosis_wirings import left_on_dead_wire_v, neighbours
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import points
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.coils import driver_side
from fuseplan.plan.model import Plan
from tests.judges.faulty_car import Fault, FaultyCar, Meters, alone

FIRST = ("current", "supply_mv", "return_mv", "load_v", "off_v", "relay_feed_v")
"""What the sheet asks of every circuit; the battery's volts beside them."""
MOST_PROBES = 20
KINDS = ("healthy", "resistance", "open", "load_strong", "load_weak", "load_open", "short_to_earth",
         "short_across_load", "coil_open", "coil_not_driven", "contact_87a", "contact_stuck", "diode_reversed",
         "feeds_swapped", "wires_swapped", "sneak_path", "coil_starved", "coil_wire_open")


@dataclass
class Walk:
    """One fault looked for."""

    fault: Fault
    diagnosis: Diagnosis
    probes: int

    @property
    def place(self) -> int:
        """Where the true fault stands among the suspects, from 1; 99 where it does not."""
        for number, each in enumerate(self.diagnosis.suspects, 1):
            if (each.fault.kind, each.fault.place) == (self.fault.kind, shown_place(self.fault)):
                return number
        return 99


def shown_place(fault: Fault) -> str:
    """The place of a fault as the diagnosis names it."""
    place = fault.place
    if place.startswith("earth."):
        return place.removesuffix("wire") + "strap"
    if place.endswith(".earth_wire") and ".load." not in place:
        return place.removesuffix("earth_wire") + "return"
    head, _, rest = place.partition(".load.")
    if rest.endswith(".wire"):
        return f"{head}.own_wire.{rest.removesuffix('.wire')}"
    if rest.endswith(".earth_wire"):
        return f"{head}.own_return.{rest.removesuffix('.earth_wire')}"
    return place.replace(".bolted.", ".own_return.").replace(".relay.wire_", ".coil_")


def walk(assessment: Assessment, circuit: str, fault: Fault, seed: int, folder: Path) -> Walk:
    """Read what the sheet asks, then what the program asks for, until it has settled or asks for nothing."""
    state = bench_model(assessment).static[circuit]
    live = circuit if fault.kind != "wires_swapped" else fault.place.rpartition(".")[2]
    car = FaultyCar(alone(assessment, live, state, loads_fed(assessment, live, circuit), circuit,
                           loads_on(assessment, circuit)), circuit, state, fault, seed)
    car.solved(folder)
    meters, known = Meters(car, seed + 1), points(assessment)
    taken = [Taken(known[address], "alone", value) for address in
             ("battery.volts", *(f"circuit.{circuit}.{what}" for what in FIRST),
              *(f"circuit.{circuit}.load.{number}.{what}" for number in loads_on(assessment, circuit) if number
                for what in ("supply_mv", "return_mv", "load_current")))
             if address in known and (value := meters.read(known[address])) is not None]
    while True:
        found = diagnose(assessment, circuit, taken)
        if found.settled or found.next is None or len(taken) >= MOST_PROBES:
            return Walk(fault, found, len(taken))
        value = meters.read(found.next.point)
        if value is None:
            return Walk(fault, found, len(taken))
        taken.append(Taken(found.next.point, found.next.condition, value))


def loads_on(assessment: Assessment, circuit: str) -> list[int]:
    """Numbers of the loads that are on when a circuit is switched on by itself."""
    network = assessment.results.network
    on = np.flatnonzero(bench_model(assessment).own_loads(network.circuit_number[circuit]))
    return [int(network.consumers.number[each]) for each in on.tolist()]


def loads_fed(assessment: Assessment, live: str, switched: str) -> list[int]:
    """Numbers of the loads of a circuit that draw when another one's switch feeds it: where some are always on nobody
    has switched on the others."""
    found = loads_on(assessment, live)
    always = [each for each in found if "always" in assessment.plan.circuit[live].load[each].when]
    return always if always and live != switched else found


def random_fault(assessment: Assessment, circuit: str, kind: str, rng: random.Random) -> Fault | None:
    """A fault of a kind in a circuit, at a random place, of a random size; None where it has no place for one."""
    from fuseplan.bench.diagnosis_builder import car_model

    results, plan = assessment.results, assessment.plan
    whole = plan.circuit[circuit]
    bench = bench_model(assessment)
    on = np.flatnonzero(bench.own_loads(results.network.circuit_number[circuit])).tolist()
    numbers = [int(results.network.consumers.number[each]) for each in on]
    if kind == "healthy":
        return Fault("healthy", "")
    if kind in ("resistance", "open"):
        model = car_model(results, [circuit], bench.chosen[0].consumers.on[bench.row("alone", circuit)])
        places = []
        for element in elements_of(model, circuit):
            if element.what.startswith("own") and element.load not in numbers:
                continue
            if element.what == "return" and not any(whole.load[each].earth is None for each in numbers):
                continue
            if element.kind == "earth" and not _passes(assessment, circuit, numbers, element.subject):
                continue
            places.append(_netlist_place(plan, element))
        return Fault(kind, rng.choice(places), 10.0 ** rng.uniform(-1.69897, 0.0))
    index = rng.choice(numbers)
    place = f"circuit.{circuit}.load.{index}"
    if kind in ("load_strong", "load_weak", "load_open"):
        consumer = next(each for each in on if results.network.consumers.number[each] == index)
        high = 1.0 + float(results.network.consumers.upper[consumer])
        low = 1.0 - float(results.network.consumers.lower[consumer])
        size = {"load_strong": high * rng.uniform(1.15, 1.8), "load_weak": low * rng.uniform(0.4, 0.87)}.get(kind, 0.0)
        return Fault(kind, place, size)
    if kind in ("short_to_earth", "short_across_load"):
        return None if whole.fuse is None else Fault(
            kind, f"circuit.{circuit}.{'wire' if kind == 'short_to_earth' else 'load'}")
    if kind in ("wires_swapped", "sneak_path"):
        others = [each for each in neighbours(plan, circuit) if bench.static.get(each) == bench.static[circuit]
                  and not assessment.lacks(each)]
        if kind == "wires_swapped":
            others = [each for each in others if not any(load.wire for name in (circuit, each)
                                                         for load in plan.circuit[name].load)]
        if not others:
            return None
        other = rng.choice(others)
        left = left_on_dead_wire_v(results, circuit, other) if kind == "sneak_path" else 0.0
        return None if left is None else Fault(kind, f"circuit.{circuit}.and.{other}")
    relay = whole.relay
    if kind.startswith("coil_") and kind not in ("coil_open", "coil_not_driven"):
        return _in_coil_wire(assessment, circuit, kind, rng)
    if relay is None or relay.contact.endswith("_nc") or (kind == "diode_reversed" and relay.suppression != "diode") \
            or (kind == "feeds_swapped" and relay.coil_feed == whole.feed):
        return None
    return Fault(kind, f"circuit.{circuit}.relay")


def _in_coil_wire(assessment: Assessment, circuit: str, kind: str, rng: random.Random) -> Fault | None:
    """In a wire of the relay's coil: an open on the side that nothing switches, or so much resistance that the relay
    does not pull."""
    relay, system_v = assessment.plan.circuit[circuit].relay, assessment.results.network.system_v
    if relay is None or relay.contact.endswith("_nc"):
        return None
    wires = [what for what, wire in (("wire_86", relay.wire_86), ("wire_85", relay.wire_85)) if wire]
    if kind == "coil_wire_open":
        wires = [each for each in wires if (each == "wire_86") == (driver_side(relay) == "earth")]
    if not wires:
        return None
    ohm = float(relay.coil) if relay.coil is not None else 90.0 * (system_v / 12.0)**2
    place = f"circuit.{circuit}.relay.{rng.choice(wires)}"
    return Fault("open", place) if kind == "coil_wire_open" else Fault(kind, place, ohm * rng.uniform(1.0, 8.0))


def _passes(assessment: Assessment, circuit: str, numbers: list[int], earth: str) -> bool:
    from fuseplan.plan.feed_way import way_back

    whole = assessment.plan.circuit[circuit]
    return any(earth in set(way_back(assessment.plan, whole.load[each].earth or whole.earth)) for each in numbers)


def _netlist_place(plan: Plan, element: Element) -> str:
    what, head = element.what, f"{element.kind}.{element.subject}"
    if what == "own_wire":
        return f"{head}.load.{element.load}.wire"
    if what == "own_return":
        load = plan.circuit[element.subject].load[element.load]
        return f"{head}.load.{element.load}.earth_wire" if load.earth_wire else f"{head}.bolted.{element.load}"
    return f"{head}.{ {'return': 'earth_wire', 'strap': 'wire'}.get(what, what)}".replace(" ", "")
