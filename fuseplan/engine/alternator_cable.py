"""The alternator cable and the exciter: the voltage drop between alternator and battery, and what starts its field."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.load import load_current
from fuseplan.tables import alternators, drops
from fuseplan.tables.load import Cited, row_source, table

Floats = NDArray[np.float64]


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
    """At rated output, the lead at its hottest."""
    return_drop_v: float
    limit_ohm: Cited[float]
    limit_v: Cited[float] | None
    return_limit_v: Cited[float]
    guarded_by: str
    """What opens when the lead is shorted to earth, in words."""
    guarded: bool
    lead_given: bool
    exciter: Exciter | None


def alternator_cable_of(network: Network, source: Source, solution: Solution) -> AlternatorCable | None:
    """The alternator cable of a solved plan; None without an alternator."""
    alternator, plan = network.alternator, network.plan
    if alternator < 0 or plan.alternator is None:
        return None
    consumers = network.consumers
    given = bool(plan.alternator.cable) and ("alternator", "") not in network.missing_shared
    supply = _path_ohm(network.supply.parent, solution.supply_ohm.max(axis=0), int(consumers.supply_node[alternator]))
    back = _path_ohm(network.returns.parent, solution.return_ohm.max(axis=0), int(consumers.return_node[alternator]))
    supply = supply if given else math.nan
    scale = network.system_v / 12.0
    limit = alternators.alternator_cable_limit_ohm()
    guard = int(network.guard[int(consumers.supply_node[alternator])])
    words = "nothing" if guard < 0 else " of ".join(
        part for part in (network.fuses[guard].fuse.kind, network.fuses[guard].owner[1] or "the alternator cable")
        if part)
    return AlternatorCable(
        supply_ohm=supply, return_ohm=back, rated_a=source.rated_a,
        supply_drop_v=float(voltage_drop(source.rated_a, supply)),
        return_drop_v=float(voltage_drop(source.rated_a, back)),
        limit_ohm=limit, limit_v=drops.drop_limit("handbook", "charging", network.system_v),
        return_limit_v=_return_limit(scale), guarded_by=words, guarded=guard >= 0, lead_given=given,
        exciter=_exciter(network, source))


def _return_limit(scale: float) -> Cited[float]:
    printed = table("alternator_cable_limits")
    row = printed.row("side", "return")
    assert row is not None
    return Cited(float(str(row["drop_v"])) * scale, row_source(printed, row))


def _path_ohm(parent: NDArray[np.int64], ohm: Floats, node: int) -> float:
    total = 0.0
    while node != 0:
        total += float(ohm[node])
        node = int(parent[node])
    return total


def _exciter(network: Network, source: Source) -> Exciter | None:
    plan = network.plan
    name = plan.alternator.exciter if plan.alternator is not None else None
    if name is None or name not in plan.circuit:
        return None
    consumers = network.consumers
    members = np.flatnonzero((consumers.circuit == network.circuit_ids.index(name)) & (consumers.kind == 0))
    current = float(np.sum(load_current(consumers.reference_a[members], float(source.open_circuit_v[0]),
                                        consumers.reference_v[members], consumers.exponent[members])))
    printed = table("exciter_currents")
    least = min(printed.rows(), key=lambda row: float(str(row["current_a"])))
    return Exciter(name, current if current > 0 else math.nan,
                   Cited(float(str(least["current_a"])), row_source(printed, least)))
