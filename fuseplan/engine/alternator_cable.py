"""The alternator cable and the exciter: the voltage drop between alternator and battery, and what starts its field."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.part import OWN_TERMINAL, POST
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source
from fuseplan.engine.tree import Tree
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.load import load_current
from fuseplan.plan.part_names import in_words, owner_title
from fuseplan.records import dataclass
from fuseplan.tables import alternators, drops
from fuseplan.tables.fuses import kind_words
from fuseplan.tables.load import Cited, row_source, table
from fuseplan.trace import apply, gathered, given, number, smallest, total
from fuseplan.trace.vocabulary import IN_SERIES


@dataclass(frozen=True)
class Exciter:
    """Charge lamp or resistor that starts the field."""

    circuit: str
    current_a: float
    """At the battery's rested voltage, the loads of the circuit together; NaN where it is not given."""
    wanted: Cited[float]
    """The smallest published current."""


@dataclass(frozen=True)
class AlternatorCable:
    """Alternator terminal to battery post and back; NaN where a length or size is missing."""

    supply_ohm: float
    return_ohm: float
    rated_a: float
    supply_drop_v: float
    """At rated output, the cable at its hottest."""
    return_drop_v: float
    sensed_drop_v: float
    """The part of the supply side's drop that lies before the point the regulator senses; 0 at its own terminal."""
    made_up_v: float
    """What of it the regulator makes up for."""
    limit_ohm: Cited[float]
    limit_v: Cited[float] | None
    return_limit_v: Cited[float]
    guarded_by: str
    """What opens when the cable is shorted to earth, in words."""
    guarded: bool
    exciter: Exciter | None


def alternator_cable_of(network: Network, source: Source, solution: Solution) -> AlternatorCable | None:
    """The alternator cable of a solved plan; None without an alternator."""
    alternator, plan = network.alternator, network.plan
    if alternator < 0 or plan.alternator is None:
        return None
    consumers = network.consumers
    stated = bool(plan.alternator.cable) and ("alternator", "") not in network.missing_shared
    names = network.names
    supply = _path_ohm(network.supply, solution.supply_ohm, int(consumers.supply_node[alternator]), names.supply)
    back = _path_ohm(network.returns, solution.return_ohm, int(consumers.return_node[alternator]), names.returns)
    supply = supply if stated else math.nan
    sensed = _sensed_drop_v(network, solution, source) if stated else math.nan
    scale = network.system_v / 12.0
    limit = alternators.alternator_cable_limit_ohm(network.system_v, float(source.rated_a))
    guard = int(network.guard[int(consumers.supply_node[alternator])])
    return AlternatorCable(
        supply_ohm=supply, return_ohm=back, rated_a=source.rated_a,
        supply_drop_v=number(apply(voltage_drop, current_a=source.rated_a, resistance_ohm=supply)),
        return_drop_v=number(apply(voltage_drop, current_a=source.rated_a, resistance_ohm=back)),
        sensed_drop_v=sensed, made_up_v=_made_up(sensed, source.made_up_v),
        limit_ohm=limit, limit_v=drops.drop_limit("handbook", "charging", network.system_v),
        return_limit_v=_return_limit(scale), guarded_by=_protected_by(network, guard), guarded=guard >= 0,
        exciter=_exciter(network, source))


def _protected_by(network: Network, guard: int) -> str:
    """A device in words: ``the maxi blade fuse of the dynamo cable``; of none ``nothing``."""
    if guard < 0:
        return "nothing"
    row, plan = network.fuses[guard], network.plan
    return f"the {kind_words(row.fuse.kind)} of " + (
        in_words(plan, *row.owner) if row.owner[1] else f"the {owner_title(plan, row.owner)}")


def _return_limit(scale: float) -> Cited[float]:
    found = table("alternator_cable_limits").known("side", "return", "drop_v")
    return Cited(found.value * scale, found.source)


def _path_ohm(tree: Tree, ohm: Floats, node: int, names: Callable[[int], str]) -> float:
    """Resistance of the way from the root to a node, each branch at its hottest [ohm]."""
    way = tree.way(node)
    if not way.size:
        return given(0.0, "R", "ohm", "it sits on the battery's own post: there is no way to it", "the plan")
    return number(total(ohm.max(axis=0)[way], 0, "the whole way, each branch at its hottest",
                        lambda place: names(int(way[place])), IN_SERIES, follow=lambda _: True))


def _sensed_drop_v(network: Network, solution: Solution, source: Source) -> float:
    """Drop at rated output from the alternator to the point its regulator senses [V]."""
    if network.sense == OWN_TERMINAL:
        return given(0.0, "ΔU", "V", "the regulator senses its own terminal", "the plan, alternator.sense")
    tree = network.supply
    way = tree.way(int(network.consumers.supply_node[network.alternator]))
    if network.sense != POST:
        way = way[~np.isin(way, tree.way(network.sense))]
    if not way.size:
        return given(0.0, "ΔU", "V", "the regulator senses the point the alternator is on", "the plan")
    ohm = number(total(solution.supply_ohm.max(axis=0)[way], 0, "the way to the point its regulator senses",
                       lambda place: network.names.supply(int(way[place])), IN_SERIES, follow=lambda _: True))
    return number(apply(voltage_drop, current_a=source.rated_a, resistance_ohm=ohm))


def _made_up(sensed_v: float, most_v: float) -> float:
    """What of the drop up to the sensed point a regulator makes up for [V]."""
    return number(smallest(gathered([sensed_v, most_v]), 0,
                           "the drop up to the sensed point, no more than a sense lead makes up for",
                           ("the drop", "the most a sense lead makes up for").__getitem__))


def _exciter(network: Network, source: Source) -> Exciter | None:
    plan = network.plan
    name = plan.alternator.exciter if plan.alternator is not None else None
    if name is None or name not in plan.circuit:
        return None
    consumers = network.consumers
    members = np.flatnonzero((consumers.circuit == network.circuit_ids.index(name)) & (consumers.kind == LOAD))
    each = apply(load_current, reference_current_a=consumers.reference_a[members],
                 voltage_v=number(source.open_circuit_v[0]), reference_voltage_v=consumers.reference_v[members],
                 exponent=consumers.exponent[members])
    current = number(total(each, 0, "its loads together", lambda place: network.names.consumer(int(members[place]))))
    printed = table("exciter_currents")
    least = min(printed.rows(), key=lambda row: float(str(row["current_a"])))
    return Exciter(name, current if current > 0 else math.nan,
                   Cited(float(str(least["current_a"])), row_source(printed, least)))
