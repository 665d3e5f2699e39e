"""Resistances a plan states beside its wires that are more than a part in good order has, and what it takes to mend
each: corroded earth points, burnt contacts, poor joints."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from fuseplan.array_types import Floats
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.assumed import JOINT, SHUNT_V, STUD, ammeter_given, contact_given, contact_taken, joint_ohm
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.fault import FarEnds, far_ends_of
from fuseplan.engine.noting import once
from fuseplan.engine.results import Results
from fuseplan.engine.segments import joints_of
from fuseplan.plan.feed_way import way_back
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.parts import Relay, Switch
from fuseplan.quantities import writing

TRIED = 5
"""So many are tried for one fault, those with most to gain first: what little each of the others takes away cures none
that these do not."""


class StatedResistance(NamedTuple):
    """A resistance in one branch beside its wire."""

    returns: bool
    node: int
    """Side and node of the branch it is in."""
    path: str
    """Key that states it."""
    ohm: float
    good_ohm: float
    """As stated, and of the same part in good order."""
    mend: str
    """What to do about it."""

    @property
    def gain_ohm(self) -> float:
        """What mending it takes away [ohm]."""
        return self.ohm - self.good_ohm

    @property
    def words(self) -> str:
        """What to do about it, with what it has and what a good one has at most."""
        has, good = writing.against(self.ohm, self.good_ohm, "ohm")
        return f"{self.mend}: {has} is stated there, a good one has {good} at most"


@once
def stated_resistances(results: Results) -> list[StatedResistance]:
    """Those that have at least what such a part is taken to have where nothing is stated; an assumed joint is among
    them, and gains nothing by being mended."""
    return [each for each in _all(results) if each.ohm >= each.good_ohm]


def _all(results: Results) -> Iterator[StatedResistance]:
    plan, network = results.plan, results.network
    heavy = _from_engine(plan)
    for name, node in network.earth_node.items():
        earth = plan.earth.get(name)
        if earth is None:
            continue
        if earth.resistance is not None:
            good = (STUD if name in heavy else JOINT).ohm
            yield StatedResistance(True, node, f"earth.{name}.resistance", float(earth.resistance), good,
                                   f"clean and tighten the earth point {in_words(plan, 'earth', name)} and the "
                                   "joints on its way")
        yield from _contact(True, node, f"earth.{name}", None, earth.switch,
                            f"{in_words(plan, 'earth', name)}, the battery isolator")
    for name, node in network.feed_node.items():
        feed = plan.feed.get(name)
        if feed is None:
            continue
        yield from _contact(False, node, f"feed.{name}", feed.relay, feed.switch,
                            in_words(plan, "feed", name))
        if feed.ammeter is not None and feed.ammeter.drop is not None:
            yield StatedResistance(False, node, f"feed.{name}.ammeter.drop", ammeter_given(feed.ammeter),
                                   SHUNT_V / float(feed.ammeter.scale),
                                   f"fit an ammeter with less drop at {in_words(plan, 'feed', name)}")
    for number in sorted({*network.marked.get("relay", ()), *network.marked.get("switch", ())}):
        name, circuit = network.circuit_ids[number], network.circuits[number]
        yield from _contact(False, int(network.circuit_node[number]), f"circuit.{name}", circuit.relay, circuit.switch,
                            in_words(plan, "circuit", name))
    consumers = network.consumers
    for consumer, load in zip(network.load_consumers.tolist(), network.loads, strict=True):
        if load.earth_resistance is not None:
            name, index = network.circuit_ids[int(consumers.circuit[consumer])], int(consumers.number[consumer])
            yield StatedResistance(True, int(consumers.return_node[consumer]),
                                   f"circuit.{name}.load.{index}.earth_resistance", float(load.earth_resistance),
                                   JOINT.ohm, "clean and tighten the earth of " + (
                                       in_words(plan, "circuit", name) if load.name is None else f"'{load.name}'"))
    segments = network.segments
    for segment in segments.marked.get("joint", ()):
        for key, joint in joints_of(segments.segment[segment]):
            yield StatedResistance(bool(segments.returns[segment]), int(segments.branch[segment]),
                                   segment_path(results, segment, key), joint_ohm(joint), JOINT.ohm,
                                   f"make the joint in {segment_words(results, segment)} anew")


def _from_engine(plan: Plan) -> set[str]:
    """Earth points on the engine and on its way to the battery: they carry the starter's current."""
    return {each for name, earth in plan.earth.items() if earth.engine for each in way_back(plan, name)}


def _contact(returns: bool, node: int, owner: str, relay: Relay | None, switch: Switch | None, of: str
             ) -> Iterator[StatedResistance]:
    """The contact the load current passes, where its resistance is stated."""
    if relay is not None and relay.resistance is not None:
        part, ohm, mend = "relay", float(relay.resistance), f"clean the socket of the relay of {of}, or fit a new relay"
        relay, switch = relay.model_copy(update={"resistance": None}), None
    elif relay is None and switch is not None and switch.resistance is not None:
        part, ohm, mend = "switch", float(switch.resistance), f"fit a new switch at {of}, or clean its terminals"
        switch = switch.model_copy(update={"resistance": None})
    else:
        return
    taken = contact_taken(relay, switch)
    good = contact_given(relay, switch) if taken is None else taken.ohm
    yield StatedResistance(returns, node, f"{owner}.{part}.resistance", ohm, good, mend)


def on_way(results: Results, found: Iterable[StatedResistance], returns: bool, node: int, origin: int = 0
           ) -> list[StatedResistance]:
    """Those between a node of one side and the battery's post, or another node on the way to it."""
    tree, nodes = (results.network.returns if returns else results.network.supply), set()
    while node not in (0, origin):
        nodes.add(node)
        node = int(tree.parent[node])
    return [each for each in found if each.returns == returns and each.node in nodes]


def worst_on_way(results: Results, returns: bool, node: int, excess_ohm: float) -> StatedResistance | None:
    """Of those on the way to a node of one side, that with most to gain, where mending it alone takes away so much."""
    best = max(on_way(results, stated_resistances(results), returns, node), key=lambda each: each.gain_ohm,
               default=None)
    return best if best is not None and best.gain_ohm > 0 and at_most(excess_ohm, best.gain_ohm) else None


def mended_first(results: Results, fails: Callable[[FarEnds], bool]) -> StatedResistance | None:
    """Of all that can be mended, what alone takes away a fault that rests on the smallest short-circuit currents; the
    largest of them, and none where no fix is asked for. `fails` tells whether the fault is still there at given
    currents."""
    if not results.fixes_wanted:
        return None
    found = sorted((each for each in stated_resistances(results) if each.gain_ohm > 0 and each.node),
                   key=lambda each: -each.gain_ohm)
    return next((each for each in found[:TRIED] if not fails(_far_ends_mended(results, each))), None)


@once
def _far_ends_mended(results: Results, part: StatedResistance) -> FarEnds:
    """The smallest short-circuit currents with one of them mended."""
    network = results.network
    ohm: Floats = (network.returns_given if part.returns else network.supply_given).copy()
    ohm[part.node] -= part.gain_ohm
    mended = replace(network, returns_given=ohm) if part.returns else replace(network, supply_given=ohm)
    return far_ends_of(mended, results.source, results.solution, results.fuse_ohm)
