"""Which resistances are known, and so which voltages and short-circuit currents rest on nothing unknown.

What is unknown counts as nothing in the sums: a drop is then the least it can be, a short-circuit current the most. A
limit that is passed all the same is passed for certain; one that is met says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.missing import Unknown
from fuseplan.engine.network import Network
from fuseplan.engine.tree import Tree
from fuseplan.records import dataclass

Owner = tuple[str, str]


@dataclass(frozen=True)
class Known:
    """What rests on no unknown figure."""

    network: Network
    supply: Flags
    """Resistance of each supply branch, fuse and contact with it (N,)."""
    returns: Flags
    """The same for return branches (M,)."""
    supply_path: Flags
    """All branches from the battery post to each supply node (N,)."""
    return_path: Flags
    """The same for return nodes (M,)."""
    consumer: Flags
    """Both ways of each consumer, and its own figures (L,)."""
    circuit: Flags
    """All loads of each circuit and its common wire (circuits,)."""
    alternator_cable: bool
    """The way from the alternator to the battery post; True without an alternator."""

    def lacking(self, number: int) -> Iterator[Owner]:
        """The feeds and earths on the ways of a circuit whose resistance is not known, and the circuit's own id where
        that of its own parts is not."""
        network = self.network
        consumers = network.consumers
        members = np.flatnonzero(consumers.circuit == number)
        ways = ((network.supply, self.supply, network.feed_node, "feed",
                 {int(network.circuit_node[number]), *consumers.supply_node[members].tolist()}),
                (network.returns, self.returns, network.earth_node, "earth",
                 set(consumers.return_node[members].tolist())))
        found: dict[Owner, None] = {}
        for tree, known, named, kind, ends in ways:
            names = {node: name for name, node in named.items()}
            for end in sorted(ends):
                for node in _up(tree, end):
                    if not known[node]:
                        own = ("circuit", network.circuit_ids[number])
                        found[(kind, names[node]) if node in names else own] = None
        yield from found


def known_of(network: Network, rating_a: Floats) -> Known:
    """What is known of a network whose protective devices have these ratings in force, NaN where none is known (J,)."""
    consumers = network.consumers
    supply, returns = network.supply_known.copy(), network.returns_known
    supply[network.fuse_node[np.isnan(rating_a)]] = False
    supply_path, return_path = _path(network.supply, supply), _path(network.returns, returns)
    own = network.lacking_not(Unknown.VOLTAGE)
    ways = supply_path[consumers.supply_node] & return_path[consumers.return_node]
    circuit = own & supply_path[network.circuit_node]
    member = consumers.circuit >= 0
    np.logical_and.at(circuit, consumers.circuit[member], ways[member])
    consumer = ways.copy()
    consumer[member] &= own[consumers.circuit[member]]
    alternator = network.alternator
    return Known(network, supply, returns, supply_path, return_path, consumer, circuit,
                 alternator < 0 or bool(ways[alternator]))


def _path(tree: Tree, known: Flags) -> Flags:
    return np.asarray(tree.drops(np.where(known, 0.0, 1.0)) == 0.0)


def _up(tree: Tree, node: int) -> Iterator[int]:
    while node > 0:
        yield node
        node = int(tree.parent[node])
