"""The faults a circuit may have, its relay apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from fuseplan.bench.diagnosis_fault import (
    DIAGNOSED_SHORT_OHM,
    LEAST_OHM,
    LIVE,
    LOAD_STEPS,
    MOST_OHM,
    ONE,
    PRIOR,
    STEPS_OHM,
    STRONGEST,
    WEAKEST,
    Fault,
    bulb,
    cut,
    nothing,
)
from fuseplan.bench.diagnosis_points import SUPPLY, element_words
from fuseplan.bench.diagnosis_relay_faults import faults_of_relay
from fuseplan.bench.diagnosis_solve import Cases, Spot
from fuseplan.bench.diagnosis_tree import COIL_WIRES, CarModel, Element
from fuseplan.bench.diagnosis_wirings import left_on_dead_wire_v
from fuseplan.bench.relay_feeds import parted_feeds
from fuseplan.engine.consumers import LOAD
from fuseplan.plan.feed_way import way_back, way_to
from fuseplan.results.address import joined


def faults_of(model: CarModel, circuit: str, others: Sequence[str]) -> Iterator[Fault]:
    """The faults of a circuit, of its feeds and earth points included, and those it may share with other circuits."""
    yield from _of_battery()
    for element in elements_of(model, circuit):
        yield from _of_element(model, element, circuit)
    if circuit == SUPPLY:
        yield from _of_alternator()
        return
    yield from _of_loads(model, circuit)
    yield from _of_shorts(model, circuit)
    yield from faults_of_relay(model, circuit)
    yield from _of_neighbours(model, circuit, others)


def elements_of(model: CarModel, circuit: str) -> list[Element]:
    """The parts the current of a circuit passes, from the battery's positive post to its negative."""
    plan = model.results.plan
    if circuit == SUPPLY:
        machine = plan.alternator
        ways = set() if machine is None else {("feed", each) for each in way_to(plan, machine.feed)} | {
            ("earth", each) for each in way_back(plan, machine.earth)}
        return [element for element in model.node_of
                if element.kind == "alternator" or (element.kind, element.subject) in ways]
    whole = plan.circuit[circuit]
    feeds = set(way_to(plan, whole.feed))
    earths = {each for load in whole.load for each in way_back(plan, load.earth or whole.earth)} \
        or set(way_back(plan, whole.earth))
    return [element for element in model.node_of
            if (element.kind == "circuit" and element.subject == circuit and element.what not in COIL_WIRES)
            or (element.kind == "feed" and element.subject in feeds)
            or (element.kind == "earth" and element.subject in earths)]


def _of_element(model: CarModel, element: Element, circuit: str) -> Iterator[Fault]:
    plan, node = model.results.plan, model.node_of[element]
    words = element_words(plan, element)
    own = (str(element.load),) if element.what.startswith("own") else ()
    place = joined(each for each in (element.kind, element.subject, element.what, *own) if each)

    def add(cases: Cases, number: int, size: float) -> None:
        (cases.return_ohm if element.returns else cases.supply_ohm)[node, number] += size

    yield Fault("resistance", place, f"extra resistance in {words}", PRIOR[element.what],
                np.geomspace(LEAST_OHM, MOST_OHM, STEPS_OHM), add, searched=True)
    blown = element.what == "fuse"
    # A bulb in the fuse's place stands in for the fuse and for nothing else.
    bridged = circuit == SUPPLY or (blown and (element.kind, element.subject) == ("circuit", circuit)) or (
        element.what.startswith("own") and len(plan.circuit[circuit].load) > 1)
    yield Fault("open", place, f"{words} is blown or missing" if blown else f"open: {words}",
                PRIOR["blown" if blown else "open"], ONE, cut(model, Spot(element.returns, node)),
                shown={**({} if bridged else {bulb(circuit): 0.0}), **_dead_at_relay(model, circuit, element)})


def _dead_at_relay(model: CarModel, circuit: str, element: Element) -> dict[str, float]:
    """What an open in a feed shows at the relay terminal that it feeds."""
    plan = model.results.plan
    parted = None if circuit == SUPPLY else parted_feeds(model.results, plan.circuit[circuit])
    if parted is None or element.kind != "feed" or element.subject not in way_to(plan, parted.feed):
        return {}
    return {joined(("circuit", circuit, "relay_feed_v")): 0.0}


def _of_battery() -> Iterator[Fault]:
    def low(cases: Cases, number: int, size: float) -> None:
        cases.battery_v[number] -= size

    def weak(cases: Cases, number: int, size: float) -> None:
        cases.battery_ohm[number] += size

    yield Fault("weak_battery", "battery", "battery is low: not charged, old, or drained", PRIOR["battery"],
                np.geomspace(0.35, 4.0, 6), low, searched=True)
    yield Fault("weak_battery_ohm", "battery", "battery or its post clamps have too much resistance", PRIOR["battery"],
                np.geomspace(0.005, 0.3, 6), weak, searched=True)


def _of_alternator() -> Iterator[Fault]:
    def share(cases: Cases, number: int, size: float) -> None:
        cases.output[number] = size

    yield Fault("not_charging", "alternator", "alternator does not charge: belt, exciter, brushes, regulator, or its "
                "cable open", PRIOR["alternator"], ONE, lambda cases, number, size: share(cases, number, 0.0))
    yield Fault("diode_failed", "alternator", "alternator has a dead diode or phase: part of its output, with ripple",
                PRIOR["alternator"], np.geomspace(0.4, 0.75, 3), share, searched=True,
                shown={"battery.ripple_mv": RIPPLE_OF_DEAD_DIODE_V})


RIPPLE_OF_DEAD_DIODE_V = 0.7
"""AC volts at the battery with a diode gone; published limits call 0.5 V and more a fault."""


def _of_loads(model: CarModel, circuit: str) -> Iterator[Fault]:
    consumers, whole = model.results.network.consumers, model.results.plan.circuit[circuit]
    for index, load in enumerate(whole.load):
        place = model.load(circuit, index)
        if place < 0 or consumers.kind[model.consumers[place]] != LOAD:
            continue
        number = int(model.consumers[place])
        words, at = load.name or f"load {index + 1}", joined(("circuit", circuit, "load", str(index)))
        high, low = 1.0 + float(consumers.upper[number]), 1.0 - float(consumers.lower[number])

        def scale(cases: Cases, case: int, size: float, place: int = place) -> None:
            cases.factor[place, case] *= size

        yield Fault("load_strong", at, f"{words} draws too much: wrong part, stiff, or "
                    "turns shorted", PRIOR["load"], np.geomspace(high, max(STRONGEST, 2.0 * high), LOAD_STEPS), scale,
                    searched=True)
        if low > WEAKEST:
            yield Fault("load_weak", at, f"{words} draws too little: wrong part, worn, "
                        "or one of several dead", PRIOR["load"], np.geomspace(WEAKEST, low, LOAD_STEPS), scale,
                        searched=True)

        def dead(cases: Cases, case: int, size: float, place: int = place) -> None:
            cases.factor[place, case] = 0.0

        yield Fault("load_open", at, f"{words} is open inside, or unplugged", PRIOR["load"], ONE, dead)


def _of_shorts(model: CarModel, circuit: str) -> Iterator[Fault]:
    """Shorts: the fuse in front of them has blown."""
    plan = model.results.plan
    title = plan.circuit[circuit].name or circuit
    fuses = [("circuit", circuit), *(("feed", each) for each in way_to(plan, plan.circuit[circuit].feed))]
    node = next((model.node_of[element] for owner in fuses for element in model.node_of
                 if (element.kind, element.subject) == owner and element.what == "fuse"), None)
    if node is None:
        return
    blown, many = cut(model, Spot(False, node)), len(plan.circuit[circuit].load) > 1
    at = [joined(("circuit", circuit, what)) for what in ("cold_ohm", "plus_to_earth_ohm")]
    yield Fault("short_to_earth", joined(("circuit", circuit, "wire")),
                f"'{title}': supply wire shorted to earth, fuse blown", PRIOR["short"], ONE, blown,
                shown={**dict.fromkeys(at, DIAGNOSED_SHORT_OHM), bulb(circuit): LIVE})
    yield Fault("short_across_load", joined(("circuit", circuit, "load")),
                f"'{title}': {'one of its loads' if many else 'its load'} shorted inside, fuse blown"
                f"{': unplug them one at a time' if many else ''}", PRIOR["short"], ONE, blown,
                shown={at[0]: DIAGNOSED_SHORT_OHM, bulb(circuit): LIVE})


def _of_neighbours(model: CarModel, circuit: str, others: Sequence[str]) -> Iterator[Fault]:
    """Wires swapped with another circuit, and current that reaches a dead wire through another circuit's load."""
    plan, results = model.results.plan, model.results
    title = plan.circuit[circuit].name or circuit
    for other in others:
        name = plan.circuit[other].name or other
        place = joined(("circuit", circuit, "and", other))
        # Each is read while it is off and the other is on, which then feeds it.
        each_other = {joined(("circuit", each, "off_v")): LIVE for each in (circuit, other)}
        yield Fault("wires_swapped", place, f"wires or pins of '{title}' and '{name}' swapped", PRIOR["swapped"], ONE,
                    nothing, swapped=other, shown=each_other)
        left = left_on_dead_wire_v(results, circuit, other)
        if left is not None:
            yield Fault("sneak_path", place, f"'{title}' gets current through the load of '{name}' while it is off: "
                        "their wires are joined behind a load", PRIOR["swapped"], ONE, nothing,
                        shown={joined(("circuit", circuit, "off_v")): left,
                               # The other way round nothing takes a current: through that load its wire is live.
                               joined(("circuit", other, "off_v")): LIVE})
