"""What is on the way of a load that loses too much: the wires and the resistances stated beside them, and what is lost
in each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from fuseplan.checks.fuse_to_fit import carrying
from fuseplan.checks.stated_resistances import StatedResistance, on_way
from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution

Key = tuple[str, str, bool]
"""Owner of a wire, and whether it is on the earth side."""


class Lack(NamedTuple):
    """A load that loses too much on a part of its way."""

    consumer: int
    bound: int
    choice: int
    row: int
    """Solution and row in which it is worst."""
    lost_v: float
    most_v: float
    """What it loses on that part, and what it may lose there."""
    origin: int
    """Supply node that part begins at; 0 is the battery post."""
    supply: bool = True
    returns: bool = False
    """The sides that part lies on."""
    apart: tuple[Solution, int] | None = None
    """A solution beside the plan's own, and its row, for what is worst neither in a condition nor in a choice; `row` is
    the condition it is in."""

    def solved(self, results: Results) -> tuple[Solution, int]:
        """The solution it is worst in, and its row."""
        return self.apart or (results.choices[self.choice], self.row)

    def with_fuses(self, results: Results) -> Lack:
        """The same with what is lost in the fuses on that part for which no rating is chosen: those that carry the
        load, and are fitted with the thicker wires."""
        network, lost_v, (solution, row) = results.network, self.lost_v, self.solved(results)
        for device in np.flatnonzero(np.isnan(results.fusing.rating_a)).tolist() if self.supply else ():
            node, tree = int(network.fuse_node[device]), network.supply
            on_way = node in tree.way(int(network.consumers.supply_node[self.consumer])) and \
                node not in tree.way(self.origin)
            fuse = carrying(results, device, float(results.fusing.low_a[0, device])) if on_way else None
            if fuse is not None:
                current_a = solution.supply_a[row, node]
                lost_v += abs(float(current_a)) * fuse_resistance(fuse.kind, fuse.rating_a)
        return self._replace(lost_v=lost_v)


class WireOnWay(NamedTuple):
    """The wire of one part on the way, and what it loses."""

    current_a: Mapping[int, float]
    """What each of its segments carries [A]."""
    volts: float
    """What they lose together [V]."""
    condition: int
    is_own: bool


class Way(NamedTuple):
    """What is on the way of a lack, and how much more a load draws once it loses less."""

    wires: dict[Key, WireOnWay]
    rises: float
    stated: dict[StatedResistance, float]
    """What is lost in each resistance stated beside the wires [V]."""

    @property
    def most_in_wires_v(self) -> float:
        """What the wire that loses most of them all loses [V]."""
        return max((wire.volts for wire in self.wires.values()), default=0.0)


def way_of(results: Results, lack: Lack, on: Mapping[bool, Callable[[int], list[int]]],
           stated: Sequence[StatedResistance]) -> Way:
    """What is on the way of a load, from the segments `on` each branch of both sides and all resistances stated."""
    network, (solution, row) = results.network, lack.solved(results)
    consumers, owners = network.consumers, network.segments.owner
    mine = consumers.owner[lack.consumer]
    members: dict[Key, list[int]] = defaultdict(list)
    beside: dict[StatedResistance, float] = {}
    ends = ((network.supply, int(consumers.supply_node[lack.consumer]), False, lack.supply, lack.origin),
            (network.returns, int(consumers.return_node[lack.consumer]), True, lack.returns, 0))
    for tree, node, returns, wanted, origin in ends:
        current_a = solution.return_a if returns else solution.supply_a
        for each in on_way(results, stated, returns, node, origin) if wanted else ():
            beside[each] = abs(float(current_a[row, each.node])) * each.ohm
        while wanted and node not in (0, origin):
            for index in on[returns](node):
                members[(*owners[index], returns)].append(index)
            node = int(tree.parent[node])
    carried, ohm = np.abs(solution.segment_a[row]), solution.segment_ohm[row]
    wires = {key: WireOnWay({index: float(carried[index]) for index in each}, float((carried * ohm)[each].sum()),
                            int(network.condition_of_row[lack.row]), key[:2] == mine and mine[0] == "circuit")
             for key, each in members.items()}
    across = float(solution.across_v[row, lack.consumer])
    gained = lack.lost_v - lack.most_v
    rises = 1.0 + gained / across if across > 0 and consumers.exponent[lack.consumer] > 0 else 1.0
    return Way(wires, rises, beside)

