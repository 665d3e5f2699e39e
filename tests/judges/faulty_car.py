"""A car as somebody built it, as an ngspice netlist: every holder, fuse, contact and wire a resistor of its own, each
a little off from the plan, one of them faulty; and what meters show on it.

Made from the plan by the judges' own builder, not by the engine and not by the diagnosis. What is off from the plan is
drawn at random within what the plan says of it: currents within the tolerance of how they are known, all values alike;
lengths within 5 %; wires at 10 to 35 °C with the engine off; contacts up to 2 mΩ; fuses within 12 %, their element
warmed by its current.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from fuseplan.bench.points import Point
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.coils import driver_side
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Fuse, Relay, Segment, Switch
from fuseplan.tables import fuses, relays
from tests.judges.netlist import NEGATIVE, ROOT, TINY_OHM, Builder, Condition, fuse_drop_v
from tests.judges.spice import COLLAPSING, solve

BROKEN_OHM, METER_OHM = 1e9, 1e7
COPPER = 0.00393
BLOWN = ("short_to_earth", "short_across_load")
NO_CONTACT = ("coil_open", "coil_not_driven", "coil_starved", "contact_87a", "diode_reversed")
UNBROKEN = ("healthy", "resistance", "load_strong", "load_weak", "contact_stuck", "feeds_swapped")
"""Faults that leave every load with the volts it runs on."""
NO_COIL = ("coil_open", "coil_not_driven", "diode_reversed")


class Way(float):
    """Resistance of parts in series, which are kept: (what, ohm)."""

    parts: tuple[tuple[str, float], ...]

    @classmethod
    def of(cls, parts: list[tuple[str, float]]) -> Way:
        made = cls(sum(ohm for _, ohm in parts))
        made.parts = tuple(parts)
        return made

    def __add__(self, other: Any) -> Way:
        if self.parts and self.parts[-1][0] == "wire":
            return Way.of([*self.parts[:-1], ("wire", self.parts[-1][1] + float(other))])
        return Way.of([*self.parts, ("wire", float(other))])

    __radd__ = __add__


@dataclass
class Fault:
    """What is wrong: a kind, the part it is in, and its size."""

    kind: str
    place: str
    size: float = 0.0


@dataclass
class Spread:
    """What of this car differs from its plan."""

    rng: random.Random
    kelvin: float = 0.0
    factors: dict[tuple[str, int], float] = field(default_factory=dict)
    shares: dict[tuple[str, ...], float] = field(default_factory=dict)

    def share(self, *key: str, reach: float) -> float:
        """A figure of this car between 1 - reach and 1 + reach, the same whenever it is asked for."""
        return self.shares.setdefault(key, 1.0 + reach * (2.0 * self.rng.random() - 1.0))


class FaultyCar(Builder):
    """One car with one fault."""

    def __init__(self, assessment: Assessment, circuit: str, state: str, fault: Fault, seed: int) -> None:
        super().__init__(assessment.results)
        self.circuit, self.state, self.fault = circuit, state, fault
        self.switched_on: list[tuple[str, int]] = []
        """The loads that are on, in the order of the netlist's last ones."""
        self.spread = Spread(random.Random(seed))
        self.kelvin = self.spread.rng.uniform(-10.0, 15.0)
        self.battery_v = self.spread.rng.uniform(-0.2, 0.2) * self.system_v / 12.0
        segments = self.results.network.segments
        self.r20 = {(*owner, place): float(ohm) for owner, place, ohm in
                    zip(segments.owner, segments.place, segments.r20_ohm, strict=True)}

    # --- resistances -------------------------------------------------------------------------------------------

    def _way(self, row: int, owner: tuple[str, str], place: str, wire: tuple[Segment, ...], fuse: Fuse | None = None,
             relay: Relay | None = None, switch: Switch | None = None) -> Way:
        kind, name = owner
        parts: list[tuple[str, float]] = []
        contact = 0.001 * self.spread.share(*owner, place, "contact", reach=1.0)
        if fuse is not None:
            rating, ohm = self.rating[owner], TINY_OHM
            if rating == rating:
                found = fuses.cold_resistance_at_most_ohm(fuse.kind, rating)
                ohm = found.value if found is not None else fuse_drop_v(rating) / rating
            parts += [("holder", contact), ("fuse", ohm * self.spread.share(*owner, "fuse", reach=0.12))]
        if relay is not None:
            printed = relays.relay_contact(relay.contact).contact_ohm
            assert printed is not None
            parts.append(("contact", printed * self.spread.share(*owner, "relay", reach=0.5)))
        elif switch is not None:
            ohm = 0.1 / float(switch.rating or 10.0) if switch.resistance is None else float(switch.resistance)
            parts.append(("contact", ohm * self.spread.share(*owner, "switch", reach=0.5)))
        total = 0.001 * self.spread.share(*owner, place, "plug", reach=1.0) if kind == "circuit" else 0.0
        for number, segment in enumerate(wire):
            total += self.r20[*owner, f"{place}.{number}"] * (1.0 + COPPER * self.kelvin) \
                * self.spread.share(*owner, place, str(number), reach=0.05)
            total += sum((0.003 if joint.resistance is None else float(joint.resistance))
                         * self.spread.share(*owner, place, str(number), "joint", reach=0.5)
                         for joint in (segment.joint, *segment.splice) if joint is not None)
        parts.append((place, max(total, TINY_OHM)))
        return Way.of([(what, self._with_fault(f"{kind}.{name}.{what}", ohm)) for what, ohm in parts])

    def _with_fault(self, place: str, ohm: float) -> float:
        kind = self.fault.kind
        if kind in BLOWN and place == f"circuit.{self.circuit}.fuse":
            return BROKEN_OHM
        if place == f"circuit.{self.circuit}.contact" and (kind in NO_CONTACT or (
                kind == "open" and self.fault.place.startswith(f"circuit.{self.circuit}.relay.wire"))):
            return BROKEN_OHM
        if place != self.fault.place:
            return ohm
        more = ohm + self.fault.size
        return {"resistance": more, "coil_starved": more, "open": BROKEN_OHM}.get(self.fault.kind, ohm)

    def _reference(self, circuit: str, index: int, bound: int) -> tuple[float, float]:
        amps, volts = super()._reference(circuit, index, 0)
        if bound:
            self.switched_on.append((circuit, index))
            load = self.plan.circuit[circuit].load[index]
            reach = self.tolerance[load.evidence or "guess"]
            amps *= self.spread.share(circuit, str(index), "load", reach=reach)
            if f"circuit.{circuit}.load.{index}" == self.fault.place:
                amps *= {"load_strong": self.fault.size, "load_weak": self.fault.size, "load_open": 0.0}.get(
                    self.fault.kind, 1.0) / (self.spread.share(circuit, str(index), "load", reach=reach)
                                             if self.fault.size else 1.0)
        return amps, volts

    # --- netlist -----------------------------------------------------------------------------------------------

    def _source(self, out: Condition, name: str) -> None:
        source = self.results.source
        warm = next((index for index, each in enumerate(self.results.network.conditions) if each.state != "crank"), 0)
        out.open_v = float(source.open_circuit_v[warm]) + self.battery_v
        out.inner_ohm = float(source.internal_ohm[warm])

    def _coil(self, out: Condition, owner: tuple[str, str], relay: Relay) -> None:
        before = len(out.resistors)
        super()._coil(out, owner, relay)
        *ways, (plus, minus, ohm) = out.resistors[before:]
        del out.resistors[before:]
        mine = relay is self.plan.circuit[self.circuit].relay
        ohm *= self.spread.share(relay.coil_feed, str(ohm), "coil", reach=0.15)
        if mine:
            self.coil_spot = (plus, minus, ohm)
        dead = mine and self.fault.kind in NO_COIL
        out.resistors += [*ways, (plus, minus, BROKEN_OHM if dead else ohm)]

    def built(self) -> Condition:
        """The car with this circuit switched on by itself, its parts in series as resistors of their own."""
        self.switched_on.clear()
        whole = self.condition("alone", 0, 1)
        self.first_load = len(whole.loads) - len(self.switched_on)
        parts: list[tuple[str, str, float]] = []
        self.spots: dict[tuple[str, str], tuple[str, str, float]] = {}
        """(node of a way's end, part): (node before it, node behind it, ohm)."""
        for up, node, ohm in whole.resistors:
            if up.startswith(("earth:", "back:", "return:")) or not isinstance(ohm, Way):
                more = self.fault.size if self._at_bolted_joint(up) and self.fault.kind == "resistance" else 0.0
                ohm = BROKEN_OHM if self._at_bolted_joint(up) and self.fault.kind == "open" else float(ohm) + more
                parts.append((up, node, ohm))
                self.spots[up, "return"] = (up, node, ohm)
                continue
            at = up
            for number, (what, part) in enumerate(ohm.parts):
                behind = node if number == len(ohm.parts) - 1 else f"{node}/{what}"
                parts.append((at, behind, part))
                self.spots[node, what] = (at, behind, part)
                at = behind
        whole.resistors = parts
        self._wrongly_wired(whole)
        if self.fault.kind not in UNBROKEN:
            # Behind a break no law but that of a resistance holds down to 0 V.
            # A current that follows no voltage is stated at none.
            whole.loads = [(plus, minus, amps, volts if power else self.system_v, 1.0)
                           for plus, minus, amps, volts, power in whole.loads]
        mine = {whole.load_nodes[self.circuit, index] for index in range(len(self.plan.circuit[self.circuit].load))}
        whole.loads = [(plus, minus, amps, volts, COLLAPSING if power == -1.0 and (plus, minus) in mine else power)
                       for plus, minus, amps, volts, power in whole.loads]
        nodes = {node for up, down, _ in parts for node in (up, down)} - {NEGATIVE}
        whole.resistors = [*parts, *((node, NEGATIVE, METER_OHM) for node in sorted(nodes))]
        return whole

    def _wrongly_wired(self, whole: Condition) -> None:
        """Swap wires or feeds, if that is the fault."""
        mine = f"circuit:{self.circuit}"
        if self.fault.kind == "wires_swapped":
            theirs = f"circuit:{self.fault.place.rpartition('.')[2]}"
            ends = {mine: theirs, theirs: mine}
            whole.loads = [(ends.get(plus, plus), *rest) for plus, *rest in whole.loads]
            whole.load_nodes = {key: (ends.get(plus, plus), minus) for key, (plus, minus) in whole.load_nodes.items()}
            chain = [spot for (node, _), spot in self.spots.items() if node == theirs]
            # One that is on by itself, too, feeds this one's load in turn; else its wire is dead.
            if not chain:
                whole.resistors.append((theirs, NEGATIVE, METER_OHM))
            elif not self.partner_is_on:
                number = whole.resistors.index(chain[0])
                whole.resistors[number] = (*chain[0][:2], 100 * BROKEN_OHM)
        if self.fault.kind == "feeds_swapped":
            circuit = self.plan.circuit[self.circuit]
            assert circuit.relay is not None
            feed, coil = (whole.feed_nodes.get(each or "", ROOT) for each in (circuit.feed, circuit.relay.coil_feed))
            what = next(each for node, each in self.spots if node == mine)
            up, down, ohm = self.spots[mine, what]
            self.spots[mine, what] = (coil, down, ohm)
            whole.resistors[whole.resistors.index((up, down, ohm))] = (coil, down, ohm)
            plus, minus, resistance = self.coil_spot
            number = whole.resistors.index((coil, minus, resistance)) if plus == coil else next(
                at for at, each in enumerate(whole.resistors) if each[:2] == (coil, plus))
            whole.resistors[number] = (feed, *whole.resistors[number][1:])
            self.coil_spot = (feed if plus == coil else plus, minus, resistance)

    @property
    def partner_is_on(self) -> bool:
        """Whether the circuit that wires are swapped with is always on."""
        other = self.results.network.plan.circuit[self.fault.place.rpartition(".")[2]]
        return any("always" in load.when for load in other.load)

    def _left_on_dead_wire(self, folder: Path) -> float:
        """What a live wire leaves on this circuit's dead one through the other circuit's first load."""
        through = Condition(name="sneak", row=0, open_v=float(self.results.source.open_circuit_v[0]), inner_ohm=0.01)
        through.resistors.append(("dead", NEGATIVE, METER_OHM))
        laws = []
        other = self.fault.place.rpartition(".")[2]
        for name, plus, minus in ((other, ROOT, "dead"), (self.circuit, "dead", NEGATIVE)):
            for index, load in enumerate(self.plan.circuit[name].load[:1 if minus == "dead" else None]):
                amps, volts = super()._reference(name, index, 0)
                if amps > 0:
                    reach = 0.3 * self.tolerance[load.evidence or "guess"]
                    amps *= self.spread.share(name, str(index), "left", reach=reach)
                    laws.append((plus, minus, amps, volts, {"lamp": 0.55}.get(load.kind or "", 1.0)))
        # Two lamps in series leave ngspice no way in: each is a resistance, made again from what it gets.
        left = 0.5 * through.open_v
        for _ in range(12):
            through.loads = []
            for plus, minus, amps, volts, power in laws:
                across = through.open_v - left if minus == "dead" else left
                through.loads.append((plus, minus, amps * (across / volts)**power, across, 1.0))
            left = solve([through], folder)[0]["dead"]
        return left

    def _at_bolted_joint(self, node: str) -> bool:
        kind, _, rest = node.partition(":")
        circuit, _, number = rest.rpartition(":")
        return kind == "back" and self.fault.place == f"circuit.{circuit}.bolted.{number}"

    def solved(self, folder: Path) -> None:
        """Let ngspice find its voltages: once cold, once with the fuses at the temperature of their currents."""
        self.left_v = self._left_on_dead_wire(folder) if self.fault.kind == "sneak_path" else 0.0
        self.netlist = self.built()
        for _ in range(2):
            self.volts = solve([self.netlist], folder)[0]
            warmed = []
            for number, (up, down, ohm) in enumerate(self.netlist.resistors):
                rating = self._rating_between(up, down)
                if rating > 0 and ohm < BROKEN_OHM:
                    share = min(abs(self.volts[up] - self.volts[down]) / ohm / rating, 1.0)
                    warmed.append((number, (up, down, ohm * (1.0 + 0.35 * share**2))))
            for number, resistor in warmed:
                self.netlist.resistors[number] = resistor

    def _rating_between(self, up: str, down: str) -> float:
        found = next((node for (node, what), spot in self.spots.items()
                      if what == "fuse" and spot[:2] == (up, down)), "")
        kind, _, name = found.partition(":")
        return self.rating.get((kind, name), 0.0) if found else 0.0


def alone(assessment: Assessment, circuit: str, state: str, on: list[int], switched: str, switched_on: list[int]
          ) -> Assessment:
    """The assessment with its plan changed so that its condition `alone` has these loads of a circuit on, where that of
    another is switched; the loads of that one too if the first is always on, as then each feeds the other's."""
    from fuseplan.plan.model import Condition as PlanCondition

    plan = assessment.plan
    whole = plan.circuit[circuit]
    loads = tuple(load.model_copy(update={"when": ("alone_on",) if number in on else ("never_on",), "either": None})
                  for number, load in enumerate(whole.load))
    other = plan.circuit[switched]
    with_it = circuit != switched and any("always" in load.when for load in whole.load)
    off = tuple(load.model_copy(update={"when": ("alone_on",) if with_it and number in switched_on else ("never_on",),
                                        "either": None}) for number, load in enumerate(other.load))
    changed = plan.model_copy(update={
        "circuit": {**plan.circuit, switched: other.model_copy(update={"load": off}),
                    circuit: whole.model_copy(update={"load": loads})},
        "condition": {**plan.condition,
                      "alone": PlanCondition(state=state, when=("alone_on",))}})
    return _Same(assessment, changed)


class _Same:
    """An assessment's results beside another plan."""

    def __init__(self, assessment: Assessment, plan: Any) -> None:
        self.results, self.plan = _Results(assessment.results, plan), plan


class _Results:
    def __init__(self, results: Any, plan: Any) -> None:
        self._results, self.plan = results, plan

    def __getattr__(self, name: str) -> Any:
        return getattr(self._results, name)


class Meters:
    """What meters show on one car; each with its own error, anywhere within what it may be off by."""

    def __init__(self, car: FaultyCar, seed: int) -> None:
        self.car, self.rng = car, random.Random(seed)

    def read(self, point: Point) -> float | None:
        """What is read at a point, in V, A or ohm; None where this car has no such place."""
        from fuseplan.bench.instruments import instrument_for

        true = self._true(point)
        if true is None or true == float("inf"):
            return true
        meter = instrument_for(point.unit, abs(true))
        digit = meter.range_for(true).digit
        shown = round((true + self.rng.uniform(-1.0, 1.0) * meter.error(true)) / digit) * digit
        return max(shown, 0.0) if point.unit == "ohm" else shown

    def _true(self, point: Point) -> float | None:
        car, volts = self.car, self.car.volts
        if point.unit == "ohm":
            return self._ohm(point)
        if point.kind == "battery":
            return {"volts": volts[ROOT], "current": (car.netlist.open_v - volts[ROOT]) / car.netlist.inner_ohm}.get(
                point.what)
        if point.kind == "earth":
            up, down, ohm = car.spots.get((f"earth:{point.subject}", "return"), (NEGATIVE, NEGATIVE, 1.0))
            return {"drop_mv": volts[up], "strap_mv": volts[up] - volts[down],
                    "current": (volts[up] - volts[down]) / ohm}.get(point.what)
        if point.kind == "feed":
            node = car.netlist.feed_nodes.get(point.subject)
            if node is None:
                return None
            return self._in_chain(node, point.what) if node != ROOT or point.what == "volts" else None
        if point.what == "off_v":
            return self._off_v(point.subject)
        plus, minus = car.netlist.load_nodes[point.subject, point.load]
        circuit = car.plan.circuit[point.subject]
        feed = car.netlist.feed_nodes.get(circuit.feed or "", ROOT)
        earth = car._earth(car.netlist, circuit.load[point.load].earth or circuit.earth)
        if point.what == "relay_feed_v":
            return self._relay_feed_v(circuit)
        if point.what in ("coil_v", "coil_current", "socket_v") and not hasattr(car, "coil_spot"):
            # Its own load is not on: the other's is, on its switch. Its coil is driven all the same.
            fed = volts[car.netlist.feed_nodes.get(circuit.relay.coil_feed if circuit.relay else "", ROOT)]
            return fed / (1.0 if point.what != "coil_current" else 90.0)
        if point.what in ("coil_86_v", "coil_85_mv"):
            return self._at_coil(circuit, point.what == "coil_85_mv")
        if point.what in ("coil_v", "coil_current", "socket_v"):
            if point.what == "socket_v" and car.fault.kind != "coil_not_driven":
                return volts[car.coil_spot[0]] - volts[car.coil_spot[1]]
            if car.fault.kind in NO_COIL and (point.what != "coil_v" or car.fault.kind != "coil_open"):
                return 0.0
            across = volts[car.coil_spot[0]] - volts[car.coil_spot[1]]
            return across / (1.0 if point.what == "coil_v" else car.coil_spot[2])
        if point.what == "bulb_v":
            return self._bulb_v(point.subject, volts[feed])
        if point.what == "load_current":
            return self._load_a(point.subject, point.load)
        before = car.spots[f"circuit:{point.subject}", "wire"][0]
        found = {"feed_v": volts[feed], "load_v": volts[plus] - volts[minus], "supply_mv": volts[feed] - volts[plus],
                 "return_mv": volts[minus], "earth_mv": volts[minus] - volts[earth], "earth_point_mv": volts[earth],
                 "wire_mv": volts[before] - volts[plus]}
        if point.what == "own_wire_mv":
            return volts[next(spot[0] for (end, _), spot in car.spots.items() if end == plus)] - volts[plus]
        if point.what == "own_earth_mv":
            return volts[minus] - volts[car.spots[minus, "return"][1]]
        return found[point.what] if point.what in found else self._in_chain(f"circuit:{point.subject}", point.what)

    def _at_coil(self, circuit: Circuit, at_85: bool) -> float | None:
        """At a terminal of the coil: with no way to its supply both are dead, with none to earth both are live."""
        car, relay = self.car, circuit.relay
        assert relay is not None
        fed = car.volts[car.netlist.feed_nodes.get(relay.coil_feed, ROOT)]
        if not hasattr(car, "coil_spot"):
            return 0.0 if at_85 else fed
        if car.fault.kind == "coil_not_driven":
            return fed if driver_side(relay) == "earth" else 0.0
        if car.fault.kind == "diode_reversed":
            return fed if relay.driver == "ecu" else 0.0
        return car.volts[car.coil_spot[int(at_85)]]

    def _relay_feed_v(self, circuit: Circuit) -> float:
        """With the fuse out that only one of coil and contact should hang on: the other stays live, unless swapped."""
        nodes, relay = self.car.netlist.feed_nodes, circuit.relay
        assert relay is not None
        fused: list[set[str]] = []
        for name in (relay.coil_feed, circuit.feed):
            fused.append(set())
            while name is not None and name in self.car.plan.feed:
                feed = self.car.plan.feed[name]
                fused[-1] |= {name} if feed.fuse is not None else set()
                name = feed.upstream
        if self.car.fault.kind == "feeds_swapped":
            return 0.0
        stays = circuit.feed if fused[0] - fused[1] else relay.coil_feed
        return self.car.volts[nodes.get(stays or "", ROOT)]

    def _off_v(self, circuit: str) -> float:
        """At the load of a circuit that is off, all others on."""
        car = self.car
        fed = car.volts[car.netlist.feed_nodes.get(car.plan.circuit[circuit].feed or "", ROOT)]
        if car.fault.kind == "wires_swapped":
            return fed if circuit in (car.circuit, car.fault.place.rpartition(".")[2]) else 0.0
        if circuit != car.circuit:
            # Its load hangs on this circuit's wire, which is live, and nothing takes a current behind it.
            joined = car.fault.kind == "sneak_path" and circuit == car.fault.place.rpartition(".")[2]
            mine = car.netlist.feed_nodes.get(car.plan.circuit[car.circuit].feed or "", ROOT)
            return car.volts[mine] if joined else 0.0
        if car.fault.kind == "sneak_path":
            return car.left_v
        return fed if car.fault.kind in ("contact_87a", "contact_stuck") else 0.0

    def _bulb_v(self, circuit: str, fed_v: float) -> float:
        """Across a bulb of 21 W in the fuse's place, by the lamp law, in series with what is behind it."""
        from fuseplan.engine.load_figures import usual_inrush

        car, system_v = self.car, self.car.system_v
        amps_at = 21.0 / system_v
        siemens, laws = 0.0, []
        for index in sorted({index for name, index in car.switched_on if name == circuit}):
            load, (amps, at_v) = car.plan.circuit[circuit].load[index], car._reference(circuit, index, 1)
            if amps <= 0:
                continue
            if load.kind == "lamp":
                laws.append((amps, at_v, 0.55))
            elif load.kind == "electronic":
                siemens += 10.0 ** self.rng.uniform(-2.5, -0.3)
            else:
                # A motor may turn or stand still behind the bulb.
                siemens += amps / at_v * self.rng.uniform(1.0, usual_inrush(load.kind or "resistive")[0])
        wire, back = self._ways(circuit)
        parts = {what: spot[2] for (node, what), spot in car.spots.items() if node == f"circuit:{circuit}"}
        resistance = wire + back + parts.get("holder", 0.0) + (
            parts["contact"] if car.plan.circuit[circuit].relay is not None else 0.0)
        if car.fault.kind in BLOWN:
            siemens += 1.0 / (0.05 + 0.1 * self.rng.random())
        if car.fault.kind == "short_to_earth":
            # Anywhere along its supply wire; nothing of that current takes the way back.
            resistance -= back + wire * self.rng.random()
        low, high = 0.0, fed_v
        for _ in range(60):
            bulb = 0.5 * (low + high)
            through = amps_at * (bulb / system_v)**0.55
            across = max(fed_v - bulb - through * resistance, 0.0)
            drawn = across * siemens + sum(amps * (across / at_v)**power for amps, at_v, power in laws)
            low, high = (low, bulb) if through > drawn else (bulb, high)
        return bulb

    def _in_chain(self, node: str, what: str) -> float | None:
        car, volts = self.car, self.car.volts
        mine = {part: spot for (end, part), spot in car.spots.items() if end == node and part != "return"}
        if what == "volts":
            return volts[node]
        if not mine:
            return None
        first, last = next(iter(mine.values())), list(mine.values())[-1]
        if what == "current":
            return next(((volts[up] - volts[down]) / ohm for up, down, ohm in mine.values() if ohm >= BROKEN_OHM),
                        (volts[first[0]] - volts[first[1]]) / first[2])
        spans = {"drop_mv": (first, last), "fuse_mv": (mine.get("fuse"), mine.get("fuse")),
                 "holder_mv": (mine.get("holder"), mine.get("fuse")),
                 "contact_mv": (mine.get("contact"), mine.get("contact"))}
        one, other = spans.get(what, (None, None))
        return None if one is None or other is None else volts[one[0]] - volts[other[1]]

    def _load_a(self, circuit: str, index: int) -> float:
        car = self.car
        if (circuit, index) not in car.switched_on:
            return 0.0
        number = car.first_load + car.switched_on.index((circuit, index))
        plus, minus, amps, at, power = car.netlist.loads[number]
        ratio = max(car.volts[plus] - car.volts[minus], 0.0) / at
        if power == COLLAPSING:
            return amps / max(ratio, 0.5) * min(1.0, 50.0 * ratio)
        return amps * ratio**power

    def _ohm(self, point: Point) -> float:
        """With the battery disconnected; cold loads from a tenth of their running resistance up."""
        from fuseplan.engine.load_figures import usual_inrush

        car, kind = self.car, self.car.fault.kind
        shorted = kind == "short_to_earth"
        if point.what == "plus_to_earth_ohm":
            return 0.1 + 0.1 * self.rng.random() if shorted else float("inf")
        circuit = car.plan.circuit[point.subject]
        wire, back = self._ways(point.subject)
        if point.what == "wire_ohm":
            return wire if wire < BROKEN_OHM else float("inf")
        if point.what == "return_ohm":
            return back if back < BROKEN_OHM else float("inf")
        if shorted or kind == "short_across_load":
            return 0.1 + 0.2 * self.rng.random()
        siemens = 0.0
        for index, load in enumerate(circuit.load):
            amps, at_v = car._reference(point.subject, index, 1)
            if amps <= 0:
                continue
            ohm = at_v / amps / usual_inrush(load.kind or "resistive")[0] * self.rng.uniform(0.85, 1.2)
            if load.kind == "electronic":
                ohm = 10.0 ** self.rng.uniform(0.7, 3.5)
            siemens += 1.0 / ohm
        total = wire + back + (1.0 / siemens if siemens else BROKEN_OHM)
        return total if total < 0.1 * BROKEN_OHM else float("inf")

    def _ways(self, name: str) -> tuple[float, float]:
        """Resistance of a circuit's supply wire to its first load, relays bridged, and of the way back."""
        car, back = self.car, 0.0
        circuit = car.plan.circuit[name]
        wire = sum(ohm for (node, what), (_, _, ohm) in car.spots.items()
                   if node == f"circuit:{name}" and what in ("wire", *(() if circuit.relay else ("contact",))))
        node, at = car.netlist.load_nodes[name, 0]
        while node != f"circuit:{name}" and node.startswith("load:"):
            step = next(each for (end, _), each in car.spots.items() if end == node)
            wire, node = wire + step[2], step[0]
        while at != NEGATIVE:
            _, at, ohm = car.spots[at, "return"]
            back += ohm
        return wire, back
