"""Far-end short-circuit currents of every branch of the examples against ngspice, within 1 %.

Reference: ngspice (Debian package), operating point of the whole car as resistors, nothing switched on, with a piece of
ideal wire across one load after the other. What hangs where is taken from the plan; from the engine come only the
temperatures of the conductors and what the battery is.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.source import internal_ohm
from fuseplan.limits import limit_set
from fuseplan.plan.parts import Fuse, Relay, Segment, Switch
from fuseplan.planfile.read import read_plan
from fuseplan.tables import conductors, fuses, relays
from tests.judges.netlist import bolted_ohm, fuse_drop_v, shunt_ohm

EXAMPLES = Path(__file__).parents[2] / "examples"
WITHIN = 0.01
NOTHING_OHM = 1e-9
Resistor = tuple[str, str, float]

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


class Car:
    """A plan as resistors between named nodes; "0" is the battery's negative post, "post" the positive one."""

    def __init__(self, results: Results) -> None:
        self.results, self.plan = results, results.plan
        segments = results.network.segments
        self.hot_c = {(*owner, place): float(results.faults.start_c[index]) for index, (owner, place) in
                      enumerate(zip(segments.owner, segments.place, strict=True))}
        self.length = {(*owner, place): float(segments.length_m[index]) for index, (owner, place) in
                       enumerate(zip(segments.owner, segments.place, strict=True))}
        self.rating = {row.owner: float(results.fusing.rating_a[index])
                       for index, row in enumerate(results.network.fuses)}
        self.shorts: dict[tuple[str, int], tuple[str, str]] = {}
        self.resistors = [*self._feeds(), *self._earths(), *self._circuits()]
        machine = self.plan.alternator
        if machine is not None:
            at = self._feed(machine.feed)
            self.resistors.append((at, "machine", self._way(("alternator", ""), "cable", machine.cable,
                                                            machine.fuse)))

    def _feed(self, name: str | None) -> str:
        part = self.plan.feed.get(name or "")
        return "post" if part is None or part.upstream is None else f"f_{name}"

    def _earth(self, name: str | None) -> str:
        part = self.plan.earth.get(name or "")
        return "0" if part is None or part.upstream is None else f"e_{name}"

    def _way(self, owner: tuple[str, str], place: str, wire: tuple[Segment, ...], fuse: Fuse | None = None,
             relay: Relay | None = None, switch: Switch | None = None) -> float:
        total = 0.0
        for number, segment in enumerate(wire):
            assert segment.size is not None
            printed = conductors.conductor(segment.size.system, segment.size.name)
            key = (*owner, f"{place}.{number}")
            # Copper: resistance grows as (234.5 + T) (IEC 60228).
            total += printed.r20_ohm_per_m * self.length[key] * (234.5 + self.hot_c[key]) / 254.5
            total += sum(0.003 if joint.resistance is None else float(joint.resistance)
                         for joint in (segment.joint, *segment.splice) if joint is not None)
        if fuse is not None:
            cold = fuses.cold_resistance_at_most_ohm(fuse.kind, self.rating[owner])
            rating = self.rating[owner]
            total += cold.value if cold is not None else fuse_drop_v(rating) / rating if rating == rating else 0.0
        if relay is not None:
            contact = relays.relay_contact(relay.contact).contact_ohm
            assert contact is not None
            total += contact
        elif switch is not None:
            total += 0.1 / float(switch.rating or 10.0) if switch.resistance is None else float(switch.resistance)
        return max(total, NOTHING_OHM)

    def _feeds(self) -> list[Resistor]:
        return [(self._feed(part.upstream), self._feed(name),
                 self._way(("feed", name), "wire", part.wire, part.fuse, part.relay, part.switch)
                 + (0.0 if part.wire else 0.0003) + shunt_ohm(part.ammeter))
                for name, part in self.plan.feed.items() if part.upstream is not None]

    def _earths(self) -> list[Resistor]:
        return [(self._earth(name), self._earth(part.upstream),
                 self._way(("earth", name), "wire", part.wire, switch=part.switch) + float(part.resistance or 0.0))
                for name, part in self.plan.earth.items() if part.upstream is not None]

    def _circuits(self) -> list[Resistor]:
        found = []
        for name, circuit in self.plan.circuit.items():
            if circuit.out_of_scope is not None:
                continue
            owner, plus = ("circuit", name), f"c_{name}"
            found.append((self._feed(circuit.feed), plus,
                          self._way(owner, "wire", circuit.wire, circuit.fuse, circuit.relay, circuit.switch)))
            common = self._earth(circuit.earth)
            if circuit.earth_wire:
                found.append((f"r_{name}", common, self._way(owner, "earth_wire", circuit.earth_wire)))
                common = f"r_{name}"
            for index, load in enumerate(circuit.load):
                ends = [plus, common if load.earth is None else self._earth(load.earth)]
                if load.wire:
                    found.append((plus, f"p_{name}_{index}", self._way(owner, f"load.{index}.wire", load.wire)))
                    ends[0] = f"p_{name}_{index}"
                if load.earth_wire:
                    found.append((f"m_{name}_{index}", ends[1],
                                  self._way(owner, f"load.{index}.earth_wire", load.earth_wire)))
                    ends[1] = f"m_{name}_{index}"
                elif load.earth is not None or not circuit.earth_wire:
                    found.append((f"m_{name}_{index}", ends[1], bolted_ohm(self.plan, load.earth or circuit.earth)))
                    ends[1] = f"m_{name}_{index}"
                self.shorts[name, index] = (ends[0], ends[1])
        return found


def currents(car: Car, shorts: list[tuple[str, str]], emf_v: float, inner_ohm: float, folder: Path) -> list[float]:
    """Current through an ideal wire across each pair of nodes, one after the other, each in a copy of the car."""
    lines, asked = ["fuseplan judge of shorts", ".options reltol=1e-6 gmin=1e-15"], []
    for copy, (plus, minus) in enumerate(shorts):
        def node(name: str, copy: int = copy) -> str:
            return "0" if name == "0" else f"n{copy}_{name}"

        lines += [f"VB{copy} n{copy}_emf 0 {emf_v!r}", f"RB{copy} n{copy}_emf {node('post')} {inner_ohm!r}",
                  f"VS{copy} {node(plus)} {node(minus)} 0"]
        lines += [f"R{copy}_{number} {node(a)} {node(b)} {ohm!r}" for number, (a, b, ohm) in enumerate(car.resistors)]
        asked.append(f"i(vs{copy})")
    lines += [".control", "set numdgt=10", "op", *(f"print {name}" for name in asked), ".endc", ".end"]
    path = folder / "shorts.cir"
    path.write_text("\n".join(lines) + "\n")
    done = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=300, check=False)
    found = dict(re.findall(r"^(i\(vs\d+\)) = (\S+)$", done.stdout, re.MULTILINE))
    assert len(found) == len(asked), done.stdout[-1000:] + done.stderr[-1000:]
    return [abs(float(found[name])) for name in asked]


def _car(example: str) -> tuple[Car, float, float]:
    plan = read_plan(EXAMPLES / f"{example}.toml")
    results = compute(plan, limit_set(plan.vehicle.limits))
    return (Car(results), float(results.source.open_circuit_v[0]),
            internal_ohm(plan.battery, results.network.system_v, cold=True))


EXAMPLE_NAMES = sorted(path.stem for path in EXAMPLES.glob("*.toml"))


@pytest.mark.parametrize("example", EXAMPLE_NAMES)
def test_a_short_across_every_load(example: str, tmp_path: Path) -> None:
    car, emf, inner = _car(example)
    network, faults = car.results.network, car.results.faults
    consumers = network.consumers
    named = zip(consumers.circuit.tolist(), consumers.number.tolist(), consumers.kind.tolist(), strict=True)
    engine = {(network.circuit_ids[circuit], number): float(faults.load_far_a[index])
              for index, (circuit, number, kind) in enumerate(named) if kind == LOAD}
    judged = dict(zip(car.shorts, currents(car, list(car.shorts.values()), emf, inner, tmp_path), strict=True))
    assert len(judged) >= 8
    assert judged.keys() == engine.keys()
    for place, current in judged.items():
        assert engine[place] == pytest.approx(current, rel=WITHIN), place
    smallest: dict[str, float] = {}
    for (circuit, _), current in judged.items():
        smallest[circuit] = min(current, smallest.get(circuit, current))
    for circuit, current in smallest.items():
        index = network.circuit_ids.index(circuit)
        assert float(faults.circuit_far_a[index]) == pytest.approx(current, rel=WITHIN), circuit


@pytest.mark.parametrize("example", EXAMPLE_NAMES)
def test_a_short_of_every_feed_to_the_worst_body_earth(example: str, tmp_path: Path) -> None:
    car, emf, inner = _car(example)
    plan, faults = car.plan, car.results.faults
    earths = [name for name, earth in plan.earth.items() if not earth.engine]
    places = [(feed, earth) for feed in plan.feed for earth in earths]
    found = currents(car, [(car._feed(feed), car._earth(earth)) for feed, earth in places], emf, inner, tmp_path)
    smallest: dict[str, float] = {}
    for (feed, _), current in zip(places, found, strict=True):
        smallest[feed] = min(current, smallest.get(feed, current))
    assert smallest.keys() == faults.feed_far_a.keys()
    for feed, current in smallest.items():
        assert faults.feed_far_a[feed] == pytest.approx(current, rel=WITHIN), feed


def test_a_short_of_the_alternator_cable_at_the_alternator(tmp_path: Path) -> None:
    car, emf, inner = _car("coupe_turbo")
    machine = car.plan.alternator
    assert machine is not None
    earths = {machine.earth, *(name for name, earth in car.plan.earth.items() if not earth.engine)}
    smallest = min(currents(car, [("machine", car._earth(name)) for name in earths], emf, inner, tmp_path))
    index = next(index for index, row in enumerate(car.results.network.fuses) if row.owner[0] == "alternator")
    assert float(car.results.faults.fuse_far_a[index]) == pytest.approx(smallest, rel=WITHIN)
