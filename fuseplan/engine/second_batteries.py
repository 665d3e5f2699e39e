"""What second batteries, joined to the first by a relay, add to the current of a short."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.source import battery_known, strongest_ohm
from fuseplan.plan.model import Battery
from fuseplan.plan.parts import SecondBattery
from fuseplan.trace import bare, given


def label_of(fitted: SecondBattery) -> Battery:
    """What the plan says of a second battery, as of the first."""
    return Battery(cold_crank=fitted.cold_crank, internal_resistance=fitted.internal_resistance)


def joined_of(network: Network) -> dict[str, SecondBattery]:
    """The second batteries that a relay joins to the first, by the name of their circuit: through a converter none
    feeds a short on its other side."""
    batteries = of_circuits(network, second_battery, "second_battery")
    return {network.circuit_ids[number]: fitted for number, fitted in batteries.items()
            if fitted.converter_before is None}


def second_battery(network: Network, number: int) -> SecondBattery | None:
    """What the plan says of the second battery of a circuit; None of one without, or out of scope."""
    circuit = network.circuits[number]
    return circuit.second_battery if circuit.out_of_scope is None else None


def supplied_ohm(network: Network, inner_ohm: float, way_ohm: Floats, unlabelled: bool = True) -> Floats:
    """Least resistance of all that feeds a short up to each device (J,): the battery through the wires to it, and every
    second battery a relay joins, through its own wire and from where that begins. One without a label counts as a
    strong one, or, without `unlabelled`, not at all. At the fuse of a link it is the lower of the two sides: its own
    battery through its wire, and all others.

    Args:
        inner_ohm: of the first battery
        way_ohm: resistance from the root to each node of the supply (N,)
    """
    way, alone = bare(way_ohm), float(bare(inner_ohm))
    segments, parent = network.segments, network.supply.parent
    own: dict[str, float] = {}
    starts: dict[str, int] = {}
    for name, fitted in joined_of(network).items():
        if unlabelled or battery_known(label_of(fitted)):
            wires = [index for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True))
                     if owner == ("circuit", name) and place.startswith("wire.") and segments.r20_known[index]]
            own[name] = float(bare(strongest_ohm(label_of(fitted), network.system_v))) + float(
                (segments.r20_ohm_per_m[wires] * segments.length_m[wires]).sum())
            starts[name] = network.feed_node.get(str(network.circuits[network.circuit_number[name]].feed), 0)

    ways = {name: _from_root(parent, node) for name, node in starts.items()}
    found = np.empty(len(network.fuses))
    for index, row in enumerate(network.fuses):
        to = _from_root(parent, int(parent[network.fuse_node[index]]))
        passed = set(to)
        others = {name: max((place for place in branch if place in passed), key=branch.index)
                  for name, branch in ways.items() if row.owner != ("circuit", name)}
        ohm, before = alone, 0.0
        for node in to:
            ohm, before = ohm + float(way[node]) - before, float(way[node])
            for name in [name for name, meets in others.items() if meets == node]:
                beside = own[name] + float(way[starts[name]]) - before
                ohm = 1.0 / (1.0 / ohm + 1.0 / beside)
        found[index] = min(ohm, own[row.owner[1]]) if row.owner[0] == "circuit" and row.owner[1] in own else ohm
    return np.asanyarray(given(found, "r", "ohm", f"the battery and {', '.join(own)}, each through the wires up to the "
                               "device: what a relay joins feeds a short too", "the plan"))


def _from_root(parent: NDArray[np.int64], node: int) -> list[int]:
    """The nodes from the root down to one."""
    found = [node]
    while found[-1] != 0:
        found.append(int(parent[found[-1]]))
    return found[::-1]
