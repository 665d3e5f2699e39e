"""The supply side of a plan, walked depth first from the battery: feeds, circuits, relay coils, the alternator."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property

from fuseplan.array_types import Ints
from fuseplan.engine.assumed import (
    STUD,
    Taken,
    ammeter_given,
    ammeter_taken,
    assumed,
    contact_given,
    contact_taken,
    contact_words,
)
from fuseplan.engine.coils import coil_ohm
from fuseplan.engine.collecting import Collected
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.marking import marks_of_fuse
from fuseplan.engine.missing import Lack, Missing
from fuseplan.engine.part import OWN_TERMINAL, POST
from fuseplan.engine.tree import depth_first
from fuseplan.plan import roles
from fuseplan.plan.coils import WIRE_86
from fuseplan.plan.feed_way import only_named
from fuseplan.plan.parts import Fuse, Load, Relay, Wire

_BY_HAND = ("switch", "thermo_switch")
"""Drivers that close the relay of a feed only when something behind it is wanted; others follow the key."""


class SupplySide(Collected):
    """Adds the supply side to what is collected."""

    def _branch(self, parent: int, base: float, fuse: Fuse | None, owner: tuple[str, str]) -> int:
        node = self.supply.open(parent)
        self.supply_given.append(base)
        self.supply_taken.append(0.0)
        own = -1
        if fuse is not None:
            own = len(self.fuses)
            self.fuses.append(FuseRow(owner, fuse, self.places.holder(owner, fuse).ambient_c))
            self.fuse_node.append(node)
            for mark in marks_of_fuse(fuse):
                self.marked[mark].append(own)
        self.guard.append(own if own >= 0 else self.guard[parent] if parent >= 0 else -1)
        rating = math.inf if fuse is None or fuse.rating is None else float(fuse.rating)
        self.bound.append(min(rating, self.bound[parent] if parent >= 0 else math.inf))
        return node

    def _take(self, node: int, taken: Taken | None, words: str) -> None:
        """Note what of a supply branch's resistance the plan does not give."""
        if taken is not None:
            self.supply_taken[node] += assumed(taken, words)

    def _add_wire(self, node: int, owner: tuple[str, str], place: str, wire: Wire, missing: list[Missing]) -> None:
        stated, taken = self.wiring.add(node, False, owner, place, wire, missing)
        self.supply_given[node] += stated
        self.supply_taken[node] += taken

    def _consumer(self, number: int, node: int, wanted: int, live: int, earth: str) -> None:
        self.supply.consumer(number)
        self.supply_of.append(node)
        self.wanted.append(wanted)
        self.live.append(live)
        self.return_at[earth].append(number)

    def compile_feeds(self) -> dict[str, int]:
        """Add all feeds with what hangs on them; the supply node of each, in the order of the walk."""
        nodes: dict[str, int] = {}
        for name, parent in depth_first(self.feed_root, self.below_feeds()):
            if name is None:
                self.supply.close(nodes[parent])
                continue
            nodes[name] = node = self._feed(name, nodes.get(parent, -1))
            for circuit in self.circuits_at.get(name, ()):
                self._circuit(circuit, node)
            for kind, owner, relay in self.coils_at.get(name, ()):
                self._coil(kind, owner, relay, node)
            if self._alternator_feed() == name:
                self._alternator(node)
        return nodes

    def _feed(self, name: str, parent: int) -> int:
        feed = self.plan.feed.get(name)
        if feed is None:
            return self._branch(parent, 0.0, None, ("feed", name))
        ohm = contact_given(feed.relay, feed.switch)
        if feed.ammeter is not None:
            ohm = ohm + ammeter_given(feed.ammeter)
        node = self._branch(parent, ohm, feed.fuse, ("feed", name))
        self._take(node, contact_taken(feed.relay, feed.switch), contact_words(feed.relay))
        self._take(node, ammeter_taken(feed.ammeter), "ammeter")
        if feed.upstream is not None and not feed.wire:
            self._take(node, STUD, "no wire given: bolted to the feed it comes from")
        self._add_wire(node, ("feed", name), "wire", feed.wire, self.missing_shared["feed", name])
        return node

    def _circuit(self, name: str, parent: int) -> None:
        circuit, missing = self.plan.circuit[name], self.missing[name]
        number, owner = self.circuit_number[name], ("circuit", name)
        node = self._branch(parent, contact_given(circuit.relay, circuit.switch), circuit.fuse, owner)
        self.circuit_nodes[number] = node
        if circuit.out_of_scope is not None:
            self.supply.close(node)
            if circuit.feed is not None:
                self._unstated(name, circuit.load, self.masks.fed(circuit.feed)[1], parent)
            return
        if circuit.feed is None:
            missing.append(Missing(Lack.FEED, "feed", "feed"))
        if not circuit.load:
            missing.append(Missing(Lack.LOADS, "load", "loads"))
        if not circuit.wire and not all(load.wire for load in circuit.load):
            missing.append(Missing(Lack.WIRE, "wire", "wire"))
        if circuit.fuse is None and circuit.role not in roles.MAY_BE_UNFUSED and self.guard[node] < 0:
            missing.append(Missing(Lack.FUSE, "fuse", "fuse"))
        self._take(node, contact_taken(circuit.relay, circuit.switch), contact_words(circuit.relay))
        self._add_wire(node, owner, "wire", circuit.wire, missing)
        live = self.circuit_fed[number][1]
        for index, load in enumerate(circuit.load):
            wanted = self.masks.words(load.when)
            at = node
            if load.wire:
                at = self._branch(node, 0.0, None, owner)
                self._add_wire(at, owner, f"load.{index}.wire", load.wire, missing)
            earth = f"{name}\0{index}"
            consumer = self.rows.load(number, owner, index, load, circuit.role, self.system_v, self.tolerances,
                                      missing, self.bound[node])
            self._consumer(consumer, at, wanted, live, earth)
            if load.standby is not None:
                tolerance = self.tolerances[load.evidence or "guess"]
                idle = self.rows.standby(number, owner, index, float(load.standby), self.system_v, tolerance)
                self._consumer(idle, at, self.masks.not_both(wanted, live), self.masks.fed(circuit.feed)[1], earth)
            if at != node:
                self.supply.close(at)
        self.supply.close(node)
        silent = [load for load in circuit.load if load.current is None and load.power is None]
        if (silent or not circuit.load) and not only_named(circuit):
            self._unstated(name, silent, live, parent)

    def _unstated(self, name: str, loads: Sequence[Load], live: int, parent: int) -> None:
        """Add what a circuit may draw beyond what is stated, at the point it is taken from and at each earth point of
        these loads; in all conditions it is live in where there are none."""
        circuit, number = self.plan.circuit[name], self.circuit_number[name]
        by_earth: dict[str, list[Load]] = defaultdict(list)
        for load in loads:
            by_earth[self.places.earth_of(load.earth or circuit.earth)].append(load)
        bound = self.bound[self.circuit_nodes[number]]
        for earth, members in (by_earth or {self.places.earth_of(circuit.earth): []}).items():
            wanted = self.masks.any_of([self.masks.words(load.when) for load in members]) if members else live
            consumer = self.rows.unstated(("circuit", name), members, bound if math.isfinite(bound) else 0.0,
                                          self.system_v)
            if math.isinf(bound):
                self.unbounded.append(consumer)
            self._consumer(consumer, parent, wanted, live, earth)

    def _coil(self, kind: str, owner: str, relay: Relay, node: int) -> None:
        at, missing = node, self.missing[owner] if kind == "circuit" else self.missing_shared[kind, owner]
        if relay.wire_86:
            at = self._branch(node, 0.0, None, (kind, owner))
            self._add_wire(at, (kind, owner), WIRE_86, relay.wire_86, missing)
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
        earth = self.places.earth_of(relay.coil_earth)
        if relay.wire_85:
            own = f"{kind}\0{owner}\0coil"
            self.coils_to[earth].append((own, (kind, owner), relay))
            earth = own
        self._consumer(consumer, at, wanted, coil_live, earth)
        if at != node:
            self.supply.close(at)

    @cached_property
    def _wanted_behind(self) -> dict[str, int]:
        """Conditions in which something behind each feed is switched on, by the number of their mask."""
        children = self.below_feeds()
        found: dict[str, int] = {}
        for name, closed in depth_first(self.feed_root, children):
            if name is None:
                behind = [self.plan.circuit[each] for each in self.circuits_at.get(closed, ())]
                found[closed] = self.masks.any_of([
                    *(self.wants(circuit) for circuit in behind if circuit.out_of_scope is None),
                    *(found[each] for each in children.get(closed, ()))])
        return found

    def _alternator_feed(self) -> str | None:
        return None if self.plan.alternator is None else self.places.feed_of(self.plan.alternator.feed)

    def sense(self, feeds: dict[str, int], final: Ints) -> int:
        """The supply node the regulator senses; the post where the plan names a feed that does not exist."""
        alternator = self.plan.alternator
        if alternator is None or alternator.sense != "battery":
            return OWN_TERMINAL
        at = alternator.sense_feed
        return int(final[feeds[at]]) if at in feeds else POST

    def _alternator(self, parent: int) -> None:
        alternator = self.plan.alternator
        assert alternator is not None
        owner = ("alternator", "")
        node = self._branch(parent, 0.0, alternator.fuse, owner)
        self._add_wire(node, owner, "cable", alternator.cable, self.missing_shared[owner])
        if not alternator.cable:
            self.no_lead.append(node)
            self.missing_shared[owner].append(Missing(Lack.WIRE, "cable", "its cable to the battery"))
        always = self.masks.fed(None)[1]
        self.alternator = self.rows.alternator(self.system_v)
        self._consumer(self.alternator, node, always, always, self.places.earth_of(alternator.earth))
        self.supply.close(node)
