"""What a plan is compiled into while it is walked: rows of both trees, of wires, consumers, fuses as they are met."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np

from fuseplan.engine.ambient import Places
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.consumer_rows import ConsumerRows
from fuseplan.engine.load_figures import tolerances_of
from fuseplan.engine.marking import Marked, marks_of
from fuseplan.engine.masks import Masks
from fuseplan.engine.missing import Missing
from fuseplan.engine.states import STATE_INDEX, live_feeds
from fuseplan.engine.tree import TreeBuilder
from fuseplan.engine.wiring import Wiring
from fuseplan.limits import LimitSet
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Relay


@dataclass
class Collected:
    """What both sides of a plan are compiled into, part by part."""

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
    returns_guard: list[int] = field(default_factory=list)
    """The fuse that protects the wires of each return branch, -1 for none: a circuit's, or that of a relay's coil."""
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
                self.coils_at[self.places.feed_of(feed.relay.coil_feed)].append(("feed", name, feed.relay))
        self.circuit_nodes = [0] * len(self.plan.circuit)
        self.alternator = -1
        self.circuit_number = {name: number for number, name in enumerate(self.plan.circuit)}
        self.marked: Marked = defaultdict(list)
        self.circuit_fed: list[tuple[int, int]] = []
        """Numbers of the masks of states and of conditions in which each circuit can be live."""
        for number, (name, circuit) in enumerate(self.plan.circuit.items()):
            for mark in marks_of(name, circuit):
                self.marked[mark].append(number)
            self.circuits_at[self.places.feed_of(circuit.feed)].append(name)
            relay = circuit.relay
            self.circuit_fed.append(self.masks.fed(circuit.feed, relay))
            if relay is not None and circuit.out_of_scope is None:
                self.coils_at[self.places.feed_of(relay.coil_feed)].append(("circuit", name, relay))

    def wants(self, circuit: Circuit) -> int:
        """Conditions in which any load of a circuit is wanted, by the number of their mask."""
        return self.masks.any_of([self.masks.words(load.when) for load in circuit.load])

    def below_feeds(self) -> dict[str, list[str]]:
        """The feeds that come from each feed."""
        children: dict[str, list[str]] = defaultdict(list)
        for name, feed in self.plan.feed.items():
            if feed.upstream is not None:
                children[feed.upstream].append(name)
        return children
