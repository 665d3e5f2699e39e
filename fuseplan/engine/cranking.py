"""Cranking: the voltage left at the battery, the starter, the control unit and the relays, and where the rest went."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.consumers import COIL, LOAD, STARTER_A
from fuseplan.engine.cranking_limits import battery_limit, current_by_size, voltage_limit
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.scenario import rows
from fuseplan.engine.solve import BOUNDS, Solution, solve
from fuseplan.engine.source import Source, crank_c
from fuseplan.formulas.battery import cranking_speed, terminal_voltage
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.inrush import inrush_current
from fuseplan.formulas.load import power_from_current
from fuseplan.plan.roles import must_run
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.load import Cited
from fuseplan.trace import apply, given, number, spread


@dataclass(frozen=True)
class Piece:
    """One branch on the starter current's way. Arrays over the two ends of the evidence."""

    side: str
    """"supply" or "return"."""
    owner: tuple[str, str]
    """("feed" | "circuit" | "earth", id)."""
    drop_v: Floats
    resistance_ohm: float
    engine_strap: bool
    node: int
    """Number of its branch in the tree of its side."""


@dataclass(frozen=True)
class Survivor:
    """A consumer that must work while cranking. Arrays over the two ends of the evidence."""

    owner: tuple[str, str]
    what: str
    kind: str
    """"control unit", "relay", "solenoid" or "load"."""
    consumer: int
    """Its number among the consumers."""
    volts: Floats
    """Of a solenoid with a pull-in current: while it pulls in, before the starter turns."""
    hold_v: Floats
    """While the starter turns the engine."""
    limit: Cited[float] | None
    """Below this it does not work."""
    safe: Cited[float] | None
    """Below this it may not work."""
    must_run: bool


@dataclass(frozen=True)
class Cranking:
    """Figures while cranking, arrays over the two ends of the evidence; NaN where they cannot be worked out."""

    condition: int
    starter: tuple[str, str] | None
    """Circuit and load of the starter; None where the plan has none and the rule by engine size answers."""
    basis: str
    current_a: Floats
    battery_v: Floats
    starter_v: Floats
    starter_w: Floats
    speed_share: Floats
    """Speed of the starter over that at the voltage its current is stated at; NaN where its locked point is not
    given."""
    supply_drop_v: Floats
    return_drop_v: Floats
    pieces: tuple[Piece, ...]
    survivors: tuple[Survivor, ...]
    pulling: Solution | None
    """While solenoids pull in, the starter still without current, a row a bound; None where no inrush of one is
    given."""
    battery_limit: Cited[float]
    battery_c: float
    """Temperature of the battery for its resistance and for the limit [°C]."""

    @property
    def known(self) -> bool:
        """Whether the cranking voltage can be worked out."""
        return bool(np.isfinite(self.battery_v).all())


def crank_condition(network: Network) -> int:
    """The longest condition in which the engine is cranked; -1 for none."""
    found = [index for index, condition in enumerate(network.conditions) if condition.state == "crank"]
    return max(found, key=lambda index: float(network.duration_s[index]), default=-1)


def starter_consumer(network: Network, condition: int) -> int:
    """Number of the starter among the consumers, -1 for none: the largest load on while cranking."""
    consumers = network.consumers
    able = consumers.on[condition] & (consumers.kind == LOAD) & (consumers.reference_a > STARTER_A)
    return int(np.argmax(np.where(able, consumers.reference_a, -1.0))) if able.any() else -1


def cranking_of(network: Network, source: Source, solution: Solution, fuse_ohm: Floats) -> Cranking:
    """Cranking figures of a solved plan; `fuse_ohm` (J,) as solved."""
    nothing = np.full(BOUNDS, math.nan)
    limit = battery_limit(network.plan.battery, network.system_v)
    index = crank_condition(network)
    starter = starter_consumer(network, index) if index >= 0 else -1
    if starter < 0:
        return _by_size(network, source, index, limit, nothing)
    both = [index, index + len(network.conditions)]
    consumers = network.consumers
    volts = solution.across_v[both]
    current = solution.consumer_a[both, starter]
    owner = consumers.owner[starter]
    load = network.plan.circuit[owner[1]].load[int(consumers.number[starter])]
    pulling = _pulling_in(network, source, fuse_ohm, index, starter)
    return Cranking(
        condition=index, starter=(owner[1], load.name or "starter"),
        basis=f"starter current as entered ({load.evidence or 'guess'})", current_a=current,
        battery_v=solution.root_v[both],
        starter_v=volts[:, starter], starter_w=np.asanyarray(apply(
            power_from_current, current_a=current, voltage_v=volts[:, starter])),
        speed_share=_speed(network, starter, volts[:, starter], current, load.locked_current is not None),
        supply_drop_v=solution.lost_v(False)[both, consumers.supply_node[starter]],
        return_drop_v=solution.lost_v(True)[both, consumers.return_node[starter]],
        pieces=_pieces(network, solution, both, starter),
        survivors=_survivors(network, volts, None if pulling is None else np.asanyarray(pulling.across_v[:BOUNDS]),
                             index, starter), pulling=pulling, battery_limit=limit,
        battery_c=crank_c(network.plan.battery))


def _speed(network: Network, starter: int, volts: Floats, current_a: Floats, known: bool) -> Floats:
    if not known:
        return np.full(BOUNDS, math.nan)
    consumers = network.consumers
    return np.asanyarray(apply(
        cranking_speed, voltage_v=volts, stated_v=spread(consumers.reference_v[starter], BOUNDS),
        locked_ohm=spread(consumers.locked_ohm[starter], BOUNDS), current_a=current_a))


def _pulling_in(network: Network, source: Source, fuse_ohm: Floats, index: int, starter: int
                ) -> Solution | None:
    """Solved with solenoids that pull in with their inrush, the starter still without current."""
    consumers = network.consumers
    pulled = [each for each in np.flatnonzero(consumers.on[index]).tolist()
              if _is_solenoid(network, each) and not math.isnan(consumers.inrush_given[each])]
    if not pulled:
        return None
    few, narrow = rows(network, source, [index])
    reference, most = few.consumers.reference_a.copy(), few.consumers.most_a.copy()
    for each in pulled:
        owner = consumers.owner[each]
        multiple = given(float(consumers.inrush_given[each]), "m", "-", "pull-in current as a multiple of the holding "
                         "one", f"the plan, circuit.{owner[1]}")
        reference[each] = number(apply(inrush_current, current_a=reference[each], multiple=multiple))
        most[each] = number(apply(inrush_current, current_a=most[each], multiple=multiple))
    reference[starter] = most[starter] = 0.0
    pulling = replace(few.consumers, reference_a=reference, most_a=most)
    return solve(replace(few, consumers=pulling), narrow, fuse_ohm)


def _is_solenoid(network: Network, each: int) -> bool:
    consumers = network.consumers
    return int(consumers.kind[each]) == LOAD and int(consumers.circuit[each]) in _solenoids(network)


def _solenoids(network: Network) -> Sequence[int]:
    """Numbers of the circuits of a starter's solenoid."""
    return network.marked.get("drop_class starter_control", ())


def _must_crank(network: Network, number: int) -> bool | None:
    """Whether a circuit must run while cranking; None where it need not, and out of scope."""
    circuit = network.circuits[number]
    return (circuit.out_of_scope is None and "crank" in must_run(network.circuit_ids[number], circuit)) or None


def _by_size(network: Network, source: Source, index: int, limit: Cited[float], nothing: Floats) -> Cranking:
    """Only the battery's voltage can be told, from the rule by engine size; nothing at all without the size."""
    litres = network.plan.vehicle.displacement
    if index < 0 or litres is None:
        basis = (f"no starter of more than {writing.stated(STARTER_A, 'A')} is on while cranking, and the "
                 "engine's size is not given")
        return Cranking(index, None, basis, nothing, nothing, nothing, nothing, nothing, nothing, nothing, (), (), None,
                        limit, crank_c(network.plan.battery))
    rule = current_by_size(float(litres))
    basis = f"no starter in the plan; its current by engine size: {rule.source.line()}"
    current = given(rule.value, "I", "A", basis, rule.source.line)
    battery = number(apply(terminal_voltage, emf_v=source.open_circuit_v[index],
                           internal_ohm=source.internal_ohm[index], current_a=current))
    return Cranking(index, None, basis, spread(current, BOUNDS), spread(battery, BOUNDS), nothing, nothing, nothing,
                    nothing, nothing, (), (), None, limit, crank_c(network.plan.battery))


def _drop(current_a: Floats, ohm: Floats) -> Floats:
    return np.asanyarray(apply(voltage_drop, current_a=current_a, resistance_ohm=ohm))


def _pieces(network: Network, solution: Solution, both: list[int], starter: int) -> tuple[Piece, ...]:
    consumers, owner = network.consumers, network.consumers.owner[starter]
    feeds = {node: name for name, node in network.feed_node.items()}
    earths = {node: name for name, node in network.earth_node.items()}
    found = []
    node = int(consumers.supply_node[starter])
    while node != 0:
        named = ("feed", feeds[node]) if node in feeds else owner
        found.append(Piece("supply", named, _drop(solution.supply_a[both, node], solution.supply_ohm[both, node]),
                           number(solution.supply_ohm[both[0], node]), False, node))
        node = int(network.supply.parent[node])
    found.reverse()
    node = int(consumers.return_node[starter])
    while node != 0:
        named = ("earth", earths[node]) if node in earths else owner
        strap = node in earths and bool(network.plan.earth[earths[node]].engine)
        found.append(Piece("return", named, _drop(solution.return_a[both, node], solution.return_ohm[both, node]),
                           number(solution.return_ohm[both[0], node]), strap, node))
        node = int(network.returns.parent[node])
    return tuple(found)


def unmeasured_survivors(network: Network, *, limited: bool = False) -> tuple[Survivor, ...]:
    """Who must work while cranking, of voltages not known; all of them, or those alone that have a limit."""
    index = crank_condition(network)
    if index < 0:
        return ()
    return _survivors(network, np.full((BOUNDS, network.consumers.count), math.nan), None, index,
                      starter_consumer(network, index), limited=limited)


def _survivors(network: Network, volts: Floats, pulling_v: Floats | None, index: int,
               starter: int, *, limited: bool = False) -> tuple[Survivor, ...]:
    consumers, needed = network.consumers, of_circuits(network, _must_crank, "must")
    solenoids = _solenoids(network)
    pull_in, solenoid, least, safe = (voltage_limit(name, network.system_v) for name in (
        "relay_pull_in", "solenoid_pull_in", "control_unit_least", "control_unit_safe"))
    found, looked_at = [], consumers.on[index] & ((consumers.kind == LOAD) | (consumers.kind == COIL))
    if limited:
        looked_at &= (consumers.kind == COIL) | np.isin(consumers.circuit, [*solenoids, *needed])
    for each in np.flatnonzero(looked_at).tolist():
        owner, kind = consumers.owner[each], int(consumers.kind[each])
        if each == starter:
            continue
        number = network.circuit_number[owner[1]] if owner[0] == "circuit" else -1
        must = number in needed
        words, limit, warn, what = "load", None, None, "relay coil"
        if kind == COIL:
            words, limit = "relay", pull_in
        elif number in solenoids:
            words, limit = "solenoid", solenoid
        elif must and consumers.load_kind[each] == "electronic":
            words, limit, warn = "control unit", least, safe
        if limited and limit is None:
            continue
        if kind == LOAD:
            place = int(consumers.number[each])
            what = network.circuits[number].load[place].name or f"load {place + 1}"
        pulls = words == "solenoid" and not math.isnan(consumers.inrush_given[each])
        first = pulling_v if pulls and pulling_v is not None else volts
        found.append(Survivor(owner, what, words, each, first[:, each], volts[:, each], limit, warn, must))
    return tuple(found)
