"""One operating condition of a plan as a list of resistors and loads, made from the plan and not by the engine.

Which feeds are live, which loads are on and what hangs where is worked out here a second time, in the plainest way.
Only two things come from the engine: the resistance of each stretch of wire at the temperature it settled at, and
the rating proposed for a fuse the plan leaves open; the judges hold the network's solution against another solver,
not the resistance of copper.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from fuseplan.engine.results import Results
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Ammeter, Fuse, Relay, Segment, Switch
from fuseplan.tables import fuses, relays

EXPONENT = {"resistive": 1.0, "coil": 1.0, "motor": 1.0, "lamp": 0.55, "electronic": -1.0}
"""Current over voltage by kind of load, as the plan format states it."""
TINY_OHM = 1e-7
"""For a branch without any resistance: under 0.1 mV at 1,000 A."""
FUSE_DROP_MV = {"mini": {2: 111.2, 3: 101.2, 4: 93.9, 5: 88.8, 7.5: 81.4, 10: 74.2, 15: 68.7, 20: 64.2, 25: 59.0,
                         30: 55.5},
                "blade": {1: 123, 2: 107, 3: 93.3, 4: 91.2, 5: 89.3, 7.5: 81.8, 10: 77, 15: 72, 20: 67.6, 25: 63,
                            30: 59.1, 35: 69, 40: 57.6},
                "maxi": {30: 57, 40: 56, 50: 55}}
"""Cold drop at the rating, from the makers' cold resistances on file."""
ROOT, NEGATIVE = "feed:root", "0"


@dataclass
class Condition:
    """One condition as elements; nodes are names, "0" is the battery's negative post."""

    name: str
    row: int
    resistors: list[tuple[str, str, float]] = field(default_factory=list)
    loads: list[tuple[str, str, float, float, float]] = field(default_factory=list)
    """(from, to, reference A, reference V, exponent)."""
    load_nodes: dict[tuple[str, int], tuple[str, str]] = field(default_factory=dict)
    feed_nodes: dict[str, str] = field(default_factory=dict)
    coil_nodes: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)
    """Both ends of the relay coils that are driven, by what the relay belongs to."""
    earth_nodes: dict[str, str] = field(default_factory=dict)
    alternator: tuple[str, str] | None = None
    open_v: float = 0.0
    inner_ohm: float = 0.0
    available_a: float = 0.0
    regulator_v: float = 0.0
    sensed: str = "machine"
    """Node whose voltage against the machine's body the regulator holds."""


class Builder:
    """Walks a plan and writes down the elements of its conditions."""

    def __init__(self, results: Results) -> None:
        self.results, self.plan = results, results.plan
        self.system_v = float(self.plan.vehicle.system)
        segments = results.network.segments
        self.wires = {(*owner, place): index for index, (owner, place) in
                      enumerate(zip(segments.owner, segments.place, strict=True))}
        self.rating = {row.owner: float(results.fusing.rating_a[index])
                       for index, row in enumerate(results.network.fuses)}
        self.tolerance = {"measured": 0.03, "plate": 0.10, "published": 0.15, "typical": 0.30, "guess": 0.50,
                          **self.plan.tolerance}

    def conditions(self, bound: int = 0) -> list[Condition]:
        """Every condition; bound 1 takes each load at the upper bound of its evidence."""
        table = list(conditions_of(self.plan))
        return [self.condition(name, bound * len(table) + index, bound) for index, name in enumerate(table)]

    def condition(self, name: str, row: int, bound: int) -> Condition:
        plan, words = self.plan, conditions_of(self.plan)[name]
        out = Condition(name=name, row=row)
        live = {feed: feed_live(plan, feed, words.state) for feed in plan.feed}
        self._source(out, name)
        out.feed_nodes |= {feed: ROOT if part.upstream is None else f"feed:{feed}" for feed, part in plan.feed.items()
                           if live[feed]}
        for feed, part in plan.feed.items():
            node = out.feed_nodes.get(feed, "")
            if part.upstream is not None and live[feed]:
                up = ROOT if plan.feed[part.upstream].upstream is None else f"feed:{part.upstream}"
                ohm = self._way(out.row, ("feed", feed), "wire", part.wire, part.fuse, part.relay, part.switch)
                ohm += 0.0 if part.wire else 0.0003
                ohm += shunt_ohm(part.ammeter)
                out.resistors.append((up, node, ohm))
            by_hand = part.relay is not None and part.relay.driver in ("switch", "thermo_switch")
            if part.relay is not None and live[feed] and (not by_hand or self._asked_behind(feed, words.when)):
                self._coil(out, ("feed", feed), part.relay)
        for earth, ground in plan.earth.items():
            node = NEGATIVE if ground.upstream is None else f"earth:{earth}"
            out.earth_nodes[earth] = node
            if ground.upstream is not None:
                up = NEGATIVE if plan.earth[ground.upstream].upstream is None else f"earth:{ground.upstream}"
                ohm = self._way(out.row, ("earth", earth), "wire", ground.wire, switch=ground.switch)
                ohm += float(ground.resistance or 0.0)
                out.resistors.append((node, up, ohm))
        wanted: list[tuple[str, int, float, bool]] = []
        for circuit, whole in plan.circuit.items():
            if whole.out_of_scope is not None:
                continue
            fed = live.get(whole.feed or "", True)
            closed = fed and (whole.relay is None or whole.relay.contact.endswith("_nc") or live[whole.relay.coil_feed])
            asked = [bool({"always"} & set(load.when)) or bool(set(load.when) & set(words.when)) for load in whole.load]
            if whole.relay is not None and any(asked) and closed:
                self._coil(out, ("circuit", circuit), whole.relay)
            if not fed:
                continue
            node = f"circuit:{circuit}"
            up = out.feed_nodes.get(whole.feed or "", ROOT)
            out.resistors.append((up, node, self._way(out.row, ("circuit", circuit), "wire", whole.wire, whole.fuse,
                                                      whole.relay, whole.switch)))
            if whole.earth_wire and any(load.earth is None for load in whole.load):
                common = f"return:{circuit}"
                out.resistors.append((common, self._earth(out, whole.earth),
                                      self._way(out.row, ("circuit", circuit), "earth_wire", whole.earth_wire)))
            for index, load in enumerate(whole.load):
                plus, minus = node, self._earth(out, load.earth or whole.earth)
                if load.earth is None and whole.earth_wire:
                    minus = f"return:{circuit}"
                if load.wire:
                    plus = f"load:{circuit}:{index}"
                    out.resistors.append((node, plus, self._way(out.row, ("circuit", circuit), f"load.{index}.wire",
                                                                load.wire)))
                if load.earth_wire:
                    far = minus
                    minus = f"back:{circuit}:{index}"
                    out.resistors.append((minus, far, self._way(out.row, ("circuit", circuit),
                                                                f"load.{index}.earth_wire", load.earth_wire)))
                elif load.earth is not None or not whole.earth_wire:
                    far, minus = minus, f"back:{circuit}:{index}"
                    out.resistors.append((minus, far, bolted_ohm(plan, load.earth or whole.earth)))
                out.load_nodes[circuit, index] = (plus, minus)
                amps, _ = self._reference(circuit, index, 0)
                wanted.append((circuit, index, amps, asked[index] and closed))
                if load.standby is not None and not (asked[index] and closed):
                    more = 1.0 + bound * self.tolerance[load.evidence or "guess"]
                    out.loads.append((plus, minus, float(load.standby) * more, 1.0, 0.0))
        self._switch_on(out, wanted, bound)
        return out

    def _asked_behind(self, feed: str, words: tuple[str, ...]) -> bool:
        """Whether any load on this feed, or on a feed behind it, is wanted in a condition with these words."""
        here = [load for circuit in self.plan.circuit.values() if circuit.feed == feed and circuit.out_of_scope is None
                for load in circuit.load]
        return any({"always", *words} & set(load.when) for load in here) or any(
            self._asked_behind(name, words) for name, part in self.plan.feed.items() if part.upstream == feed)

    def _source(self, out: Condition, name: str) -> None:
        source, index = self.results.source, list(conditions_of(self.plan)).index(name)
        out.open_v, out.inner_ohm = float(source.open_circuit_v[index]), float(source.internal_ohm[index])
        out.available_a, out.regulator_v = float(source.available_a[index]), source.regulator_v
        machine = self.plan.alternator
        if machine is None:
            return
        out.alternator = ("machine", self._earth(out, machine.earth))
        feed = self.plan.feed.get(machine.feed or "")
        at = ROOT if feed is None or feed.upstream is None else f"feed:{machine.feed}"
        ohm = self._way(out.row, ("alternator", ""), "cable", machine.cable, machine.fuse)
        out.resistors.append(("machine", at, ohm))
        out.sensed = "machine"
        if machine.sense == "battery":
            point = self.plan.feed.get(machine.sense_feed or "")
            out.sensed = ROOT if point is None or point.upstream is None else f"feed:{machine.sense_feed}"

    def _earth(self, out: Condition, name: str | None) -> str:
        part = self.plan.earth.get(name or "")
        return NEGATIVE if part is None or part.upstream is None else f"earth:{name}"

    def _way(self, row: int, owner: tuple[str, str], place: str, wire: tuple[Segment, ...], fuse: Fuse | None = None,
             relay: Relay | None = None, switch: Switch | None = None) -> float:
        """Resistance of wire, joints, fuse and contact in series."""
        solved = self.results.solution.segment_ohm
        total = sum(float(solved[row, self.wires[*owner, f"{place}.{number}"]]) for number in range(len(wire)))
        for segment in wire:
            total += sum(0.003 if joint.resistance is None else float(joint.resistance)
                         for joint in (segment.joint, *segment.splice) if joint is not None)
        if fuse is not None:
            found = fuses.cold_resistance_at_most_ohm(fuse.kind, self.rating[owner])
            rating = self.rating[owner]
            total += found.value if found is not None else fuse_drop_v(rating) / rating if rating == rating else 0.0
        if relay is not None:
            printed = relays.relay_contact(relay.contact).contact_ohm
            assert printed is not None
            total += printed
        elif switch is not None:
            total += 0.1 / float(switch.rating or 10.0) if switch.resistance is None else float(switch.resistance)
        return max(total, TINY_OHM)

    def _coil(self, out: Condition, owner: tuple[str, str], relay: Relay) -> None:
        ohm = float(relay.coil) if relay.coil is not None else (
            relays.relay_contact(relay.contact).coil_ohm * (self.system_v / 12.0) ** 2)
        plus, minus = out.feed_nodes.get(relay.coil_feed, ROOT), self._earth(out, relay.coil_earth)
        if relay.wire_86:
            far, plus = plus, f"86:{owner[0]}:{owner[1]}"
            out.resistors.append((far, plus, self._way(out.row, owner, "relay.wire_86", relay.wire_86)))
        if relay.wire_85:
            far, minus = minus, f"85:{owner[0]}:{owner[1]}"
            out.resistors.append((minus, far, self._way(out.row, owner, "relay.wire_85", relay.wire_85)))
        out.coil_nodes[owner] = (plus, minus)
        out.resistors.append((plus, minus, ohm / (1.0 + 0.15 * (out.row >= len(conditions_of(self.plan))))))

    def _reference(self, circuit: str, index: int, bound: int) -> tuple[float, float]:
        load = self.plan.circuit[circuit].load[index]
        if load.current is not None:
            amps, volts = float(load.current), float(load.at) if load.at else (
                self.system_v * 13.5 / 12.0 if load.kind == "electronic" else self.system_v)
        elif load.power is None:
            return 0.0, self.system_v
        else:
            volts = float(load.at) if load.at else self.system_v
            amps = float(load.power) / volts
        if bound:
            amps *= 1.0 + self.tolerance[load.evidence or "guess"]
            if load.range is not None and load.evidence != "measured":
                amps = max(amps, float(load.range[1]))
        return amps, volts

    def _switch_on(self, out: Condition, wanted: list[tuple[str, int, float, bool]], bound: int) -> None:
        strongest: dict[str, tuple[str, int]] = {}
        most: dict[str, float] = {}
        for circuit, index, amps, able in wanted:
            group = self.plan.circuit[circuit].load[index].either
            if able and group is not None and amps > most.get(group, -1.0):
                strongest[group], most[group] = (circuit, index), amps
        for circuit, index, _, able in wanted:
            load = self.plan.circuit[circuit].load[index]
            if not able or (load.either is not None and strongest[load.either] != (circuit, index)):
                continue
            amps, volts = self._reference(circuit, index, bound)
            plus, minus = out.load_nodes[circuit, index]
            # A motor of more than 60 A while cranking is the starter: its drag asks one current.
            state = conditions_of(self.plan)[out.name].state
            starter = state == "crank" and load.kind == "motor" and self._reference(circuit, index, 0)[0] > 60.0
            out.loads.append((plus, minus, amps, volts, 0.0 if starter else EXPONENT[load.kind or "resistive"]))


def feed_live(plan: Plan, name: str, state: str, asked: tuple[str, ...] = ()) -> bool:
    """Whether a feed is live: its own states, the feed it comes from, and the feed of its relay's coil."""
    feed = plan.feed[name]
    if name in asked:
        return False
    if feed.live is not None and state not in feed.live:
        return False
    if feed.upstream is not None and not feed_live(plan, feed.upstream, state, (*asked, name)):
        return False
    if feed.relay is None or feed.relay.contact.endswith("_nc"):
        return True
    return feed_live(plan, feed.relay.coil_feed, state, (*asked, name))


def fuse_drop_v(rating_a: float) -> float:
    """Drop at its rating taken for a fuse of which nothing is printed: the most any type has at the next smaller
    rating printed."""
    return max(row[max((step for step in row if step <= rating_a), default=min(row))]
               for row in FUSE_DROP_MV.values()) / 1000.0


def bolted_ohm(plan: Plan, earth: str | None) -> float:
    """Joint taken for a load without an earth wire, bolted to the body or to the engine."""
    point = plan.earth.get(earth or "")
    return 0.0003 if point is not None and point.engine else 0.003


def shunt_ohm(ammeter: Ammeter | None) -> float:
    """Resistance of an ammeter in a feed's wire; 75 mV at full scale where none is given, as the plan format states
    it."""
    return 0.0 if ammeter is None else float(ammeter.drop or 0.075) / float(ammeter.scale)
