"""Compiling a plan: both trees walked depth first, every wire, consumer and fuse given its number."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine import consumers as consumer_rows
from fuseplan.engine.ambient import Places
from fuseplan.engine.assumed import (
    STUD,
    Taken,
    ammeter_given,
    ammeter_taken,
    assumed,
    contact_given,
    contact_taken,
    contact_words,
    earth_joint_given,
    earth_joint_taken,
)
from fuseplan.engine.consumers import ConsumerRows
from fuseplan.engine.entries import with_entries
from fuseplan.engine.load_figures import tolerances_of
from fuseplan.engine.masks import Masks
from fuseplan.engine.missing import Lack, Missing
from fuseplan.engine.network import FuseRow, Network, coil_ohm
from fuseplan.engine.part import OWN_TERMINAL, POST
from fuseplan.engine.patching import patched
from fuseplan.engine.states import STATE_INDEX, live_feeds, rests_closed
from fuseplan.engine.tree import TreeBuilder, depth_first
from fuseplan.engine.wiring import Marked, Segments, Wiring
from fuseplan.engine.wiring import freeze as freeze_segments
from fuseplan.limits import LimitSet
from fuseplan.plan import roles
from fuseplan.plan.coils import WIRE_85, WIRE_86, is_coil_wire
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Fuse, Load, Relay, Wire
from fuseplan.trace import gathered, given, is_followed, recording

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_BY_HAND = ("switch", "thermo_switch")
"""Drivers that close the relay of a feed only when something behind it is wanted; others follow the key."""


@dataclass
class _Compiler:
    plan: Plan
    limit_set: LimitSet
    supply: TreeBuilder = field(default_factory=TreeBuilder)
    returns: TreeBuilder = field(default_factory=TreeBuilder)
    rows: ConsumerRows = field(default_factory=ConsumerRows)
    supply_given: list[float] = field(default_factory=list)
    supply_taken: list[float] = field(default_factory=list)
    returns_given: list[float] = field(default_factory=list)
    returns_taken: list[float] = field(default_factory=list)
    fuses: list[FuseRow] = field(default_factory=list)
    fuse_node: list[int] = field(default_factory=list)
    no_way: list[int] = field(default_factory=list)
    """Return branches of which the plan says nothing."""
    no_lead: list[int] = field(default_factory=list)
    """Supply branches of which it says nothing."""
    guard: list[int] = field(default_factory=list)
    bound: list[float] = field(default_factory=list)
    """The smallest rating entered on the way to each supply node [A], infinite without one: no more flows for long."""
    unbounded: list[int] = field(default_factory=list)
    """Consumers whose current nothing bounds."""
    supply_of: list[int] = field(default_factory=list)
    return_at: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    coil_node: dict[tuple[str, str], int] = field(default_factory=dict)
    """Supply node of the coil of each relay, by the part it belongs to."""
    coils_to: dict[str, list[tuple[str, tuple[str, str], Relay]]] = field(default_factory=lambda: defaultdict(list))
    """Coils with a wire from 85, by the earth it leads to."""
    wanted: list[int] = field(default_factory=list)
    live: list[int] = field(default_factory=list)
    """Both by the number of their mask."""
    missing: dict[str, list[Missing]] = field(default_factory=lambda: defaultdict(list))
    missing_shared: dict[tuple[str, str], list[Missing]] = field(default_factory=lambda: defaultdict(list))

    def __post_init__(self) -> None:
        self.places = Places(self.plan)
        self.wiring = Wiring(self.plan, self.limit_set, self.places)
        self.system_v = float(self.plan.vehicle.system)
        table = conditions_of(self.plan)
        self.condition_ids, self.conditions = tuple(table), tuple(table.values())
        self.state = np.array([STATE_INDEX[condition.state] for condition in self.conditions], dtype=np.int64)
        self.feed_live = live_feeds(self.plan)
        self.tolerances = tolerances_of(self.plan)
        self.masks = Masks(self.conditions, self.feed_live)
        self.feed_root, self.earth_root = self.places.feed_root, self.places.earth_root
        self.circuits_at: dict[str, list[str]] = defaultdict(list)
        self.coils_at: dict[str, list[tuple[str, str, Relay]]] = defaultdict(list)
        for name, feed in self.plan.feed.items():
            if feed.relay is not None:
                self.coils_at[self._feed(feed.relay.coil_feed)].append(("feed", name, feed.relay))
        self.circuit_number = {name: number for number, name in enumerate(self.plan.circuit)}
        self.marked: Marked = defaultdict(list)
        self.circuit_fed: list[tuple[int, int]] = []
        """Numbers of the masks of states and of conditions in which each circuit can be live."""
        for number, (name, circuit) in enumerate(self.plan.circuit.items()):
            self.circuits_at[self._feed(circuit.feed) or ""].append(name)
            relay = circuit.relay
            coil_feed = None if relay is None or rests_closed(relay) else relay.coil_feed
            self.circuit_fed.append(self.masks.fed(circuit.feed, coil_feed))
            if relay is not None:
                self.marked["relay"].append(number)
                if circuit.out_of_scope is None:
                    self.coils_at[self._feed(relay.coil_feed)].append(("circuit", name, relay))
            if circuit.switch is not None:
                self.marked["switch"].append(number)
            if circuit.out_of_scope is None:
                self.mark_role(number, name, circuit)
            if circuit.also_from:
                self.marked["also_from"].append(number)
            if circuit.max_fuse is not None or any(load.max_fuse is not None for load in circuit.load):
                self.marked["max_fuse"].append(number)
            if circuit.out_of_scope is not None:
                self.marked["out_of_scope"].append(number)

    def mark_role(self, number: int, name: str, circuit: Circuit) -> None:
        """Note what a circuit is for, stated or proposed, and whether it must run or stop in some state."""
        role = roles.role_of(name, circuit)
        if role is not None:
            self.marked[f"role {role.word}"].append(number)
        if circuit.role is None:
            self.marked["no role"].append(number)
        if roles.must_run(name, circuit) or roles.must_stop(name, circuit):
            self.marked["must"].append(number)

    def _feed(self, name: str | None) -> str:
        return name if name is not None and name in self.plan.feed else self.feed_root

    def wants(self, circuit: Circuit) -> int:
        """Conditions in which any load of a circuit is wanted, by the number of their mask."""
        return self.masks.any_of([self.masks.words(load.when) for load in circuit.load])

    # --- supply side -------------------------------------------------------------------------------------------

    def branch(self, parent: int, base: float, fuse: Fuse | None, owner: tuple[str, str]) -> int:
        node = self.supply.open(parent)
        self.supply_given.append(base)
        self.supply_taken.append(0.0)
        own = -1
        if fuse is not None:
            own = len(self.fuses)
            self.fuses.append(FuseRow(owner, fuse, self.places.holder(owner, fuse).ambient_c))
            self.fuse_node.append(node)
        self.guard.append(own if own >= 0 else self.guard[parent] if parent >= 0 else -1)
        rating = math.inf if fuse is None or fuse.rating is None else float(fuse.rating)
        self.bound.append(min(rating, self.bound[parent] if parent >= 0 else math.inf))
        return node

    def take(self, node: int, taken: Taken | None, words: str) -> None:
        """Note what of a supply branch's resistance the plan does not give."""
        if taken is not None:
            self.supply_taken[node] += assumed(taken, words)

    def add_wire(self, node: int, owner: tuple[str, str], place: str, wire: Wire, missing: list[Missing]) -> None:
        stated, taken = self.wiring.add(node, False, owner, place, wire, missing)
        self.supply_given[node] += stated
        self.supply_taken[node] += taken

    def consumer(self, number: int, node: int, wanted: int, live: int, earth: str) -> None:
        self.supply.consumer(number)
        self.supply_of.append(node)
        self.wanted.append(wanted)
        self.live.append(live)
        self.return_at[earth].append(number)

    def compile_feeds(self) -> dict[str, int]:
        nodes: dict[str, int] = {}
        for name, parent in depth_first(self.feed_root, self._below_feeds()):
            if name is None:
                self.supply.close(nodes[parent])
                continue
            nodes[name] = node = self.compile_feed(name, nodes.get(parent, -1))
            for circuit in self.circuits_at.get(name, ()):
                self.compile_circuit(circuit, node)
            for kind, owner, relay in self.coils_at.get(name, ()):
                self.compile_coil(kind, owner, relay, node)
            if self._alternator_feed() == name:
                self.compile_alternator(node)
        return nodes

    def compile_feed(self, name: str, parent: int) -> int:
        feed = self.plan.feed.get(name)
        if feed is None:
            return self.branch(parent, 0.0, None, ("feed", name))
        ohm = contact_given(feed.relay, feed.switch)
        if feed.ammeter is not None:
            ohm = ohm + ammeter_given(feed.ammeter)
        node = self.branch(parent, ohm, feed.fuse, ("feed", name))
        self.take(node, contact_taken(feed.relay, feed.switch), contact_words(feed.relay))
        self.take(node, ammeter_taken(feed.ammeter), "ammeter")
        if feed.upstream is not None and not feed.wire:
            self.take(node, STUD, "no wire given: bolted to the feed it comes from")
        self.add_wire(node, ("feed", name), "wire", feed.wire, self.missing_shared["feed", name])
        return node

    def compile_circuit(self, name: str, parent: int) -> None:
        circuit, missing = self.plan.circuit[name], self.missing[name]
        number, owner = self.circuit_number[name], ("circuit", name)
        node = self.branch(parent, contact_given(circuit.relay, circuit.switch), circuit.fuse, owner)
        self.circuit_nodes[number] = node
        if circuit.out_of_scope is not None:
            self.supply.close(node)
            if circuit.feed is not None:
                self.unstated(name, circuit.load, self.masks.fed(circuit.feed)[1], parent)
            return
        if circuit.feed is None:
            missing.append(Missing(Lack.FEED, "feed", "feed"))
        if not circuit.load:
            missing.append(Missing(Lack.LOADS, "load", "loads"))
        if not circuit.wire and not all(load.wire for load in circuit.load):
            missing.append(Missing(Lack.WIRE, "wire", "wire"))
        if circuit.fuse is None and circuit.role not in roles.MAY_BE_UNFUSED and self.guard[node] < 0:
            missing.append(Missing(Lack.FUSE, "fuse", "fuse"))
        self.take(node, contact_taken(circuit.relay, circuit.switch), contact_words(circuit.relay))
        self.add_wire(node, owner, "wire", circuit.wire, missing)
        live = self.circuit_fed[number][1]
        for index, load in enumerate(circuit.load):
            wanted = self.masks.words(load.when)
            at = node
            if load.wire:
                at = self.branch(node, 0.0, None, owner)
                self.add_wire(at, owner, f"load.{index}.wire", load.wire, missing)
            earth = f"{name}\0{index}"
            consumer = self.rows.load(number, owner, index, load, self.system_v, self.tolerances, missing,
                                      self.bound[node])
            self.consumer(consumer, at, wanted, live, earth)
            if load.standby is not None:
                tolerance = self.tolerances[load.evidence or "guess"]
                idle = self.rows.standby(number, owner, index, float(load.standby), self.system_v, tolerance)
                self.consumer(idle, at, self.masks.not_both(wanted, live), self.masks.fed(circuit.feed)[1], earth)
            if at != node:
                self.supply.close(at)
        self.supply.close(node)
        silent = [load for load in circuit.load if load.current is None and load.power is None]
        if silent or not circuit.load:
            self.unstated(name, silent, live, parent)

    def unstated(self, name: str, loads: Sequence[Load], live: int, parent: int) -> None:
        """Add what a circuit may draw beyond what is stated, at the point it is taken from and at each earth point of
        these loads; in all conditions it is live in where there are none."""
        circuit, number = self.plan.circuit[name], self.circuit_number[name]
        by_earth: dict[str, list[Load]] = defaultdict(list)
        for load in loads:
            by_earth[self._earth(load.earth or circuit.earth)].append(load)
        bound = self.bound[self.circuit_nodes[number]]
        for earth, members in (by_earth or {self._earth(circuit.earth): []}).items():
            wanted = self.masks.any_of([self.masks.words(load.when) for load in members]) if members else live
            consumer = self.rows.unstated(("circuit", name), members, bound if math.isfinite(bound) else 0.0,
                                          self.system_v)
            if math.isinf(bound):
                self.unbounded.append(consumer)
            self.consumer(consumer, parent, wanted, live, earth)

    def _earth(self, name: str | None) -> str:
        return name if name is not None and name in self.plan.earth else self.earth_root

    def compile_coil(self, kind: str, owner: str, relay: Relay, node: int) -> None:
        at, missing = node, self.missing[owner] if kind == "circuit" else self.missing_shared[kind, owner]
        if relay.wire_86:
            at = self.branch(node, 0.0, None, (kind, owner))
            self.add_wire(at, (kind, owner), WIRE_86, relay.wire_86, missing)
        self.coil_node[kind, owner] = at
        coil_live = self.masks.fed(relay.coil_feed)[1]
        if kind == "feed":
            wanted = self.masks.fed(owner)[1]
            if relay.driver in _BY_HAND:
                wanted = self.masks.both(wanted, self._wanted_behind[owner])
        else:
            wanted = self.masks.both(self.circuit_fed[self.circuit_number[owner]][1],
                                     self.wants(self.plan.circuit[owner]))
        consumer = self.rows.coil((kind, owner), coil_ohm(relay, self.system_v), self.system_v)
        earth = self._earth(relay.coil_earth)
        if relay.wire_85:
            own = f"{kind}\0{owner}\0coil"
            self.coils_to[earth].append((own, (kind, owner), relay))
            earth = own
        self.consumer(consumer, at, wanted, coil_live, earth)
        if at != node:
            self.supply.close(at)

    @cached_property
    def _wanted_behind(self) -> dict[str, int]:
        """Conditions in which something behind each feed is switched on, by the number of their mask."""
        children = self._below_feeds()
        found: dict[str, int] = {}
        for name, closed in depth_first(self.feed_root, children):
            if name is None:
                behind = [self.plan.circuit[each] for each in self.circuits_at.get(closed, ())]
                found[closed] = self.masks.any_of([
                    *(self.wants(circuit) for circuit in behind if circuit.out_of_scope is None),
                    *(found[each] for each in children.get(closed, ()))])
        return found

    def _below_feeds(self) -> dict[str, list[str]]:
        """The feeds that come from each feed."""
        children: dict[str, list[str]] = defaultdict(list)
        for name, feed in self.plan.feed.items():
            if feed.upstream is not None:
                children[feed.upstream].append(name)
        return children

    def _alternator_feed(self) -> str | None:
        return None if self.plan.alternator is None else self._feed(self.plan.alternator.feed)

    def sense(self, feeds: dict[str, int], final: Ints) -> int:
        """The supply node the regulator senses; the post where the plan names a feed that does not exist."""
        alternator = self.plan.alternator
        if alternator is None or alternator.sense != "battery":
            return OWN_TERMINAL
        at = alternator.sense_feed
        return int(final[feeds[at]]) if at in feeds else POST

    def compile_alternator(self, parent: int) -> None:
        alternator = self.plan.alternator
        assert alternator is not None
        owner = ("alternator", "")
        node = self.branch(parent, 0.0, alternator.fuse, owner)
        self.add_wire(node, owner, "cable", alternator.cable, self.missing_shared[owner])
        if not alternator.cable:
            self.no_lead.append(node)
            self.missing_shared[owner].append(Missing(Lack.WIRE, "cable", "its cable to the battery"))
        always = self.masks.fed(None)[1]
        self.alternator = self.rows.alternator(self.system_v)
        self.consumer(self.alternator, node, always, always, self._earth(alternator.earth))
        self.supply.close(node)

    # --- return side -------------------------------------------------------------------------------------------

    def return_branch(self, parent: int) -> int:
        self.returns_given.append(0.0)
        self.returns_taken.append(0.0)
        return self.returns.open(parent)

    def add_return_wire(self, node: int, owner: tuple[str, str], place: str, wire: Wire,
                        missing: list[Missing]) -> None:
        stated, taken = self.wiring.add(node, True, owner, place, wire, missing)
        self.returns_given[node] += stated
        self.returns_taken[node] += taken

    def compile_returns(self) -> tuple[dict[str, int], dict[int, int], list[int]]:
        children: dict[str, list[str]] = defaultdict(list)
        for name, earth in self.plan.earth.items():
            if earth.upstream is not None:
                children[earth.upstream].append(name)
        at_earth: dict[str, list[tuple[str, list[int]]]] = defaultdict(list)
        for name, circuit in self.plan.circuit.items():
            by_earth: dict[str, list[int]] = defaultdict(list)
            for index, load in enumerate(circuit.load if circuit.out_of_scope is None else ()):
                earth_id = load.earth or circuit.earth
                if earth_id not in self.plan.earth:
                    earth_id = self.earth_root
                    self.missing[name].append(Missing(Lack.EARTH, "earth", "earth"))
                by_earth[earth_id or ""].append(index)
            for earth_id, indexes in by_earth.items():
                at_earth[earth_id].append((name, indexes))
        nodes: dict[str, int] = {}
        common: dict[int, int] = {}
        node_of = [0] * len(self.rows.rows)

        def place(consumers: list[int], node: int) -> None:
            for number in consumers:
                self.returns.consumer(number)
                node_of[number] = node

        for reached, parent in depth_first(self.earth_root, children):
            if reached is None:
                self.returns.close(nodes[parent])
                continue
            nodes[reached] = node = self.return_branch(nodes.get(parent, -1))
            ground = self.plan.earth.get(reached)
            if ground is not None:
                if ground.resistance is not None:
                    self.returns_given[node] += given(float(ground.resistance), "R", "ohm", "body panels and joints on "
                                                      "the way", f"the plan, earth.{reached}.resistance")
                self.returns_given[node] += contact_given(None, ground.switch)
                taken = contact_taken(None, ground.switch)
                if taken is not None:
                    self.returns_taken[node] += assumed(taken, "contact of the battery isolator")
                self.add_return_wire(node, ("earth", reached), "wire", ground.wire,
                                     self.missing_shared["earth", reached])
                if ground.upstream is not None and ground.resistance is None and not ground.wire:
                    self.no_way.append(node)
                    self.missing_shared["earth", reached].append(Missing(
                        Lack.EARTH_PATH, "resistance", f"strap, cable or body resistance from it to {ground.upstream}"))
            place(self.return_at.get(reached, []), node)
            for own, owner, relay in self.coils_to.get(reached, ()):
                at = self.return_branch(node)
                self.add_return_wire(at, owner, WIRE_85, relay.wire_85, self.missing[owner[1]]
                                     if owner[0] == "circuit" else self.missing_shared[owner])
                place(self.return_at[own], at)
                self.returns.close(at)
            for circuit_id, indexes in at_earth.get(reached, ()):
                self._circuit_return(circuit_id, indexes, node, common, place)
        return nodes, common, node_of

    def _circuit_return(self, circuit_id: str, indexes: list[int], node: int,
                        common: dict[int, int], place: Callable[[list[int], int], None]) -> None:
        circuit, owner, missing = self.plan.circuit[circuit_id], ("circuit", circuit_id), self.missing[circuit_id]
        shared = [index for index in indexes if circuit.load[index].earth is None]
        at = node
        if circuit.earth_wire and shared:
            at = self.return_branch(node)
            common[self.circuit_number[circuit_id]] = at
            self.add_return_wire(at, owner, "earth_wire", circuit.earth_wire, missing)
        for index in shared:
            self._load_return(circuit, owner, index, at, at == node, missing, place)
        if at != node:
            self.returns.close(at)
        for index in indexes:
            if circuit.load[index].earth is not None:
                self._load_return(circuit, owner, index, node, True, missing, place)

    def _load_return(self, circuit: Circuit, owner: tuple[str, str], index: int, parent: int, on_point: bool,
                     missing: list[Missing], place: Callable[[list[int], int], None]) -> None:
        load = circuit.load[index]
        wire, node = load.earth_wire, parent
        if wire or on_point or load.earth_resistance is not None:
            node = self.return_branch(parent)
            self.returns_given[node] += earth_joint_given(load, f"circuit.{owner[1]}.load.{index}")
        if wire:
            self.add_return_wire(node, owner, f"load.{index}.earth_wire", wire, missing)
        elif on_point:
            point = self.plan.earth.get(load.earth or circuit.earth or "")
            taken = earth_joint_taken(load, point is not None and bool(point.engine))
            if taken is not None:
                self.returns_taken[node] += assumed(taken, "no earth wire given: earthed where it is bolted")
        place(self.return_at[f"{owner[1]}\0{index}"], node)
        if node != parent:
            self.returns.close(node)

    def run(self) -> Network:
        self.alternator = -1
        self.circuit_nodes = [0] * len(self.plan.circuit)
        feeds = self.compile_feeds()
        earths, common, node_of = self.compile_returns()
        supply, supply_final = self.supply.build()
        returns, return_final = self.returns.build()
        wanted, live = self.masks.conditions.rows(self.wanted).T, self.masks.conditions.rows(self.live).T
        consumers = consumer_rows.freeze(
            self.rows, supply_final[np.array(self.supply_of, dtype=np.int64)],
            return_final[np.array(node_of, dtype=np.int64)], wanted, live,
            np.array([condition.state == "crank" for condition in self.conditions], dtype=bool), self.system_v)
        segments = freeze_segments(self.wiring)
        guard_built = np.array(self.guard, dtype=np.int64)
        segment_guard = self._segment_guards(segments, guard_built)
        remap = np.where(segments.returns, 0, segments.branch)
        back = np.where(segments.returns, segments.branch, 0)
        segments.branch[:] = np.where(segments.returns, return_final[back], supply_final[remap])
        guard = np.empty_like(guard_built)
        guard[supply_final] = guard_built
        return Network(
            plan=self.plan, limit_set=self.limit_set, places=self.places, system_v=self.system_v,
            condition_ids=self.condition_ids, conditions=self.conditions, state=self.state,
            duration_s=np.array([condition.duration for condition in self.conditions], dtype=float),
            supply=supply, returns=returns, supply_given=_in_order(self.supply_given, supply_final),
            returns_given=_in_order(self.returns_given, return_final),
            supply_taken=_in_order(self.supply_taken, supply_final),
            returns_taken=_in_order(self.returns_taken, return_final),
            supply_known=_all_known(supply.count, segments.branch[~segments.r20_known & ~segments.returns],
                                    supply_final[np.array(self.no_lead, dtype=np.int64)]),
            returns_known=_all_known(returns.count, segments.branch[~segments.r20_known & segments.returns],
                                     return_final[np.array(self.no_way, dtype=np.int64)]),
            segments=segments, consumers=consumers,
            feed_ids=tuple(feeds), feed_node={name: int(supply_final[node]) for name, node in feeds.items()},
            feed_live=self.feed_live, earth_ids=tuple(earths),
            earth_node={name: int(return_final[node]) for name, node in earths.items()},
            circuit_ids=tuple(self.plan.circuit), circuits=tuple(self.plan.circuit.values()),
            circuit_node=supply_final[np.array(self.circuit_nodes, dtype=np.int64)] if self.circuit_nodes
            else np.zeros(0, dtype=np.int64),
            circuit_live=self.masks.states.rows([states for states, _ in self.circuit_fed]), marked=self.marked,
            return_node_of={number: int(return_final[node]) for number, node in common.items()},
            fuses=tuple(self.fuses),
            fuse_node=supply_final[np.array(self.fuse_node, dtype=np.int64)] if self.fuse_node
            else np.zeros(0, dtype=np.int64),
            guard=guard, segment_guard=segment_guard,
            segment_column=segments.branch + np.where(segments.returns, supply.count, 0), alternator=self.alternator,
            sense=self.sense(feeds, supply_final), unbounded=tuple(self.unbounded),
            missing={name: tuple(dict.fromkeys(words)) for name, words in self.missing.items() if words},
            missing_shared={owner: tuple(dict.fromkeys(words)) for owner, words in self.missing_shared.items()
                            if words},
        )

    def _segment_guards(self, segments: Segments, guard_built: Ints) -> Ints:
        """Fuse of each segment: that of its supply branch; earth wires of a circuit share the circuit's fuse,
        the wire from 85 of a relay that of its coil."""
        guards = np.full(segments.count, -1, dtype=np.int64)
        supply = ~segments.returns
        guards[supply] = guard_built[segments.branch[supply]]
        for index in np.flatnonzero(segments.returns).tolist():
            kind, name = segments.owner[index]
            if is_coil_wire(segments.place[index]):
                guards[index] = guard_built[self.coil_node[kind, name]]
            elif kind == "circuit":
                guards[index] = guard_built[self.circuit_nodes[self.circuit_number[name]]]
        return guards


def _in_order(values: list[float], final: Ints) -> Floats:
    place = np.empty(len(values), dtype=np.int64)
    place[final] = np.arange(len(values))
    found: Floats = gathered(values)[place]
    return found


def _all_known(count: int, *unknown: Ints) -> NDArray[np.bool_]:
    known = np.ones(count, dtype=bool)
    for nodes in unknown:
        known[nodes] = False
    return known


def compile_plan(plan: Plan, limit_set: LimitSet, after: Network | None = None) -> Network:
    """Compile a plan. Names that do not exist are taken as the root, and listed as missing.

    `after` is the network of a plan of which this one is an edit: what did not change is taken over from it.
    """
    if recording():
        return with_entries(_Compiler(plan, limit_set).run())
    if after is not None and after.limit_set == limit_set and not is_followed(after.supply_given):
        found = patched(after, plan, lambda alone: _Compiler(alone, limit_set).run())
        if found is not None:
            return found
    return _Compiler(plan, limit_set).run()
