"""The part of a network that carries current while only some of its consumers are on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fuseplan.array_types import Ints
from fuseplan.engine.laws import Laws
from fuseplan.engine.tree import Tree, TreePart
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.engine.network import Network

OWN_TERMINAL, POST = -1, -2
"""Where a regulator senses the voltage, where that is no feed: at the alternator, at the battery's positive post."""


@dataclass(frozen=True)
class Side:
    """Feeds or earths of a part."""

    tree: Tree
    nodes: Ints | slice
    """Their numbers in the whole network."""
    near: Ints | slice
    """For each node of the whole network, the one of the part that has the same voltage."""
    node: Ints
    """Where each consumer hangs (K,)."""


@dataclass(frozen=True)
class Part:
    """What the solver works on: K consumers and the branches that then carry current."""

    on: Ints | slice
    """Their numbers in the whole network."""
    laws: Laws
    alternator: int
    """Its place among them, -1 without it."""
    supply: Side
    returns: Side
    sense: int = OWN_TERMINAL
    """Supply node of the part that the alternator's regulator senses, `OWN_TERMINAL` or `POST`."""

    @property
    def count(self) -> int:
        """How many consumers it has."""
        return len(self.laws.exponent)


def whole(network: Network) -> Part:
    """A network with every consumer on."""
    consumers, every = network.consumers, slice(None)
    return Part(every, consumers.laws, network.alternator,
                Side(network.supply, every, every, consumers.supply_node),
                Side(network.returns, every, every, consumers.return_node), network.sense)


def part_of(network: Network, on: Ints) -> Part:
    """A network with only some consumers on (K,), numbered upwards."""
    consumers = network.consumers
    found = np.flatnonzero(on == network.alternator)
    supply = _side(network.supply.part(on), consumers.supply_node[on])
    sense = network.sense if network.sense < 0 or isinstance(supply.near, slice) else int(supply.near[network.sense])
    return Part(on, consumers.laws_of(on), int(found[0]) if found.size else -1, supply,
                _side(network.returns.part(on), consumers.return_node[on]), sense)


def _side(part: TreePart, node: Ints) -> Side:
    return Side(part.tree, part.nodes, part.near, part.near[node])
