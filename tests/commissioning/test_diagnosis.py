"""One circuit with one fault: the seven signatures, from the model and fed back as readings.

Expected values: worked out by hand, by Ohm's law, for a bus of 13.5 V, a contact of 4 mΩ, a fuse of 4.8 mΩ, a wire of
20 mΩ, a load of 2 Ω, an own return of 5 mΩ and a shared earth of 3 mΩ with a neighbour of 20 A.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from fuseplan.bench.diagnosis import diagnose
from fuseplan.bench.diagnosis_builder import car_model
from fuseplan.bench.diagnosis_points import quantity_of
from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.diagnosis_solve import Cases, solved
from fuseplan.bench.diagnosis_tree import Element
from fuseplan.bench.diagnosis_unknowns import Settings, moves_of
from fuseplan.bench.drain_hunt import drain_hunt
from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import points
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.laws import Laws
from fuseplan.limits import limit_set
from fuseplan.results.address import joined, split
from tests.plans import plan_of

POINTS = ("current", "earth_point_mv", "fuse_mv", "contact_mv", "supply_mv", "return_mv", "load_v")
ROWS: dict[str, tuple[float, ...]] = {
    "healthy:": (6.599, 0.080, 0.0317, 0.0264, 0.1900, 0.1128, 13.197),
    "resistance:circuit.lamp.contact": (5.751, 0.077, 0.0276, 1.7484, 1.8911, 0.1060, 11.503),
    "resistance:circuit.lamp.wire": (5.751, 0.077, 0.0276, 0.0230, 1.8911, 0.1060, 11.503),
    "resistance:circuit.lamp.return": (5.751, 0.077, 0.0276, 0.0230, 0.1656, 1.8314, 11.503),
    "resistance:earth.stud.strap": (5.961, 1.376, 0.0286, 0.0238, 0.1717, 1.4058, 11.923),
    "load_strong:circuit.lamp.load.0": (12.963, 0.099, 0.0622, 0.0519, 0.3733, 0.1637, 12.963),
}
"""By the fault they are of; in A and V, in the order of `POINTS`, with the neighbour on."""
NEIGHBOUR_OFF = (6.469, 0.343, 0.0311, 0.0259, 0.1863, 0.3752, 12.938)
"""The shared earth with the neighbour off."""


def _plan() -> dict[str, object]:
    joint = {"size": "50 mm2", "length": "1 mm", "zone": "cabin"}
    load = {"current": "6.75 A", "at": "13.5 V", "kind": "resistive", "when": ["key_on"], "evidence": "measured"}
    return {
        "fuseplan": 1, "battery": {"open_circuit": "13.5 V", "internal_resistance": "0.5 mohm"},
        "zone": {"cabin": {"ambient": "20 degC"}}, "feed": {"post": {}},
        "earth": {"negative": {}, "stud": {"to": "negative", "resistance": "3 mohm"}},
        "circuit": {
            "lamp": {"feed": "post", "fuse": {"kind": "blade", "rating": "15 A"}, "switch": {"resistance": "4 mohm"},
                     "wire": [{**joint, "joint": {"resistance": "20 mohm"}}], "earth": "stud",
                     "earth_wire": [{**joint, "joint": {"resistance": "5 mohm"}}], "load": [load]},
            "neighbour": {"feed": "post", "fuse": {"kind": "blade", "rating": "30 A"}, "earth": "stud",
                          "wire": [joint], "earth_wire": [joint],
                          "load": [{**load, "current": "20 A", "kind": "electronic", "when": ["loaded"]}]},
        },
        "condition": {"loaded": {"state": "ignition", "when": ["key_on", "loaded"]},
                      "quiet": {"state": "ignition", "when": ["key_on"]}},
    }


@pytest.fixture(scope="module")
def car() -> Assessment:
    return assess(plan_of(_plan()), limit_set("road"))


def _signature(car: Assessment, condition: str, put: tuple[str, float]) -> np.ndarray:
    """What the model shows at `POINTS` with a fault of a size in an element, or in the load."""
    bench = bench_model(car)
    network, source = bench.chosen
    row = bench.row(condition)
    assert row is not None
    source = replace(source, internal_ohm=np.full_like(source.internal_ohm, 1e-9))
    settings = Settings(network, source, np.array([row]))
    model = car_model(car.results, ["lamp"], network.consumers.on[row])
    elements = {"holder": 0.0, "fuse": 0.0048, "contact": 0.004, "wire": 0.020, "return": 0.005}
    sides = {False: model.supply.ohm.copy(), True: model.returns.ohm.copy()}
    for what, ohm in elements.items():
        sides[what == "return"][model.node_of[Element(what == "return", "circuit", "lamp", what, 0)]] = ohm
    sides[True][model.node_of[Element(True, "earth", "stud", "strap", 0)]] = 0.003
    model = replace(model, **{
        name: replace(side, ohm=sides[back], copper_ohm=np.zeros_like(side.ohm))
        for name, side, back in (("supply", model.supply, False), ("returns", model.returns, True))})
    consumers = network.consumers
    neighbour = [consumers.owner[each] == ("circuit", "neighbour") for each in model.consumers.tolist()]
    laws = Laws.of(consumers.reference_v[model.consumers],
                   np.where(neighbour, 0.0, consumers.exponent[model.consumers]), np.zeros(len(neighbour)))
    model = replace(model, part=replace(model.part, laws=laws))
    cases = Cases.healthy(model, 1)
    what, size = put
    if what == "load":
        cases.factor[model.load("lamp", 0)] = size
    elif what:
        element = Element(what in ("return", "strap"), "earth" if what == "strap" else "circuit",
                          "stud" if what == "strap" else "lamp", what, 0)
        (cases.return_ohm if element.returns else cases.supply_ohm)[model.node_of[element]] = size
    known = points(car)
    quantities = [quantity_of(model, known[f"circuit.lamp.{each}"], 0) for each in POINTS]
    shown, _ = solved(model, settings, cases, moves_of(model, settings).none, [each for each in quantities if each])
    return np.asarray(shown[0])


@pytest.mark.parametrize(("fault", "put"), [
    ("healthy:", ("", 0.0)), ("resistance:circuit.lamp.contact", ("contact", 0.3)),
    ("resistance:circuit.lamp.wire", ("wire", 0.3)), ("resistance:circuit.lamp.return", ("return", 0.3)),
    ("resistance:earth.stud.strap", ("strap", 0.05)), ("load_strong:circuit.lamp.load.0", ("load", 2.0))])
def test_each_signature_within_a_millivolt(car: Assessment, fault: str, put: tuple[str, float]) -> None:
    assert _signature(car, "loaded", put) == pytest.approx(ROWS[fault], abs=1e-3)


def test_a_shared_earth_falls_when_the_neighbour_goes_off(car: Assessment) -> None:
    assert _signature(car, "quiet", ("strap", 0.05)) == pytest.approx(NEIGHBOUR_OFF, abs=1e-3)


def _fed_back(car: Assessment, condition: str, row: tuple[float, ...], rng: random.Random | None) -> Diagnosis:
    """The diagnosis of a row read by meters that are exact, or off anywhere within their errors."""
    known = points(car)
    taken = [Taken(known["battery.volts"], condition, 13.5)]
    # Volts behind the fuse leave nothing for its holder besides contact and fuse.
    for what, value in zip((*POINTS, "holder_mv"), (*row, row[2]), strict=True):
        point = known[f"circuit.lamp.{what}"]
        off = 0.0 if rng is None else rng.uniform(-1.0, 1.0) * instrument_for(point.unit, value).error(value)
        taken.append(Taken(point, condition, value + off))
    return diagnose(car, "lamp", taken, ask=False)


EVERY = [*(("loaded", fault, row) for fault, row in ROWS.items()),
         ("quiet", "resistance:earth.stud.strap", NEIGHBOUR_OFF)]


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("condition", "fault", "row"), EVERY)
def test_each_signature_names_its_own_fault_and_no_other(car: Assessment, condition: str, fault: str,
                                                         row: tuple[float, ...]) -> None:
    found = _fed_back(car, condition, row, None)
    assert found.suspects[0].fault.id == fault, [(each.fault.id, each.weight) for each in found.suspects[:4]]
    assert found.settled
    for each in found.suspects[0].evidence:
        assert each.with_fault == pytest.approx(each.read, rel=0.12, abs=0.01), each.point.address


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("condition", "fault", "row"), EVERY)
def test_with_the_meters_errors_too(car: Assessment, condition: str, fault: str, row: tuple[float, ...]) -> None:
    assert _fed_back(car, condition, row, random.Random(7)).suspects[0].fault.id == fault


@pytest.mark.parametrize("name", ["lamp", "lamp.left", 'the "lamp"', "7"])
def test_a_short_is_found_in_a_circuit_of_any_name(name: str) -> None:
    plan = _plan()
    circuits = plan["circuit"]
    assert isinstance(circuits, dict)
    plan["circuit"] = {name: circuits["lamp"], "neighbour": circuits["neighbour"]}
    car = assess(plan_of(plan), limit_set("road"))
    known = points(car)
    taken = [Taken(known[joined(("circuit", name, what))], condition, value) for what, condition, value in (
        ("current", "alone", 0.0), ("load_v", "alone", 0.0), ("plus_to_earth_ohm", "unpowered", 0.15),
        ("cold_ohm", "unpowered", 0.15))]
    found = diagnose(car, name, taken, ask=False).suspects
    assert found[0].fault.kind == "short_to_earth", [(each.fault.id, each.weight) for each in found[:4]]
    healthy = next(each for each in found if each.fault.kind == "healthy")
    assert healthy.weight < 1e-3
    assert split(found[0].fault.place) == ["circuit", name, "wire"]


@pytest.mark.parametrize("name", ["lamp", "lamp.left"])
def test_a_drain_is_found_in_a_circuit_of_any_name(name: str) -> None:
    plan = _plan()
    circuits = plan["circuit"]
    assert isinstance(circuits, dict)
    plan["circuit"] = {name: circuits["lamp"], "neighbour": circuits["neighbour"]}
    plan["condition"] = {"parked": {"state": "off", "duration": "8 h"}}
    car = assess(plan_of(plan), limit_set("road"))
    known = points(car)
    at = known[joined(("circuit", name, "fuse_mv"))]
    device = car.fuse_of["circuit", name]
    found = drain_hunt(car, [Taken(known["battery.drain"], "parked", 0.4),
                             Taken(at, "parked", 0.4 * float(car.results.fuse_ohm[device]))])
    assert found.unused == ()
    assert split(found.suspects[0].fault.place) == ["circuit", name]
    assert found.suspects[0].size == pytest.approx(0.4, rel=0.1)


@pytest.mark.long
@pytest.mark.parametrize(("condition", "fault", "row"), EVERY)
def test_with_the_meters_errors_many_times(car: Assessment, condition: str, fault: str, row: tuple[float, ...]) -> None:
    wrong = [seed for seed in range(400)
             if _fed_back(car, condition, row, random.Random(seed)).suspects[0].fault.id != fault]
    assert not wrong, wrong
