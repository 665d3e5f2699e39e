"""The two trees of the car as it is probed: parts in series, their resistances, and how well these are known; and both
together, as `diagnosis_builder` makes them of a plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.assumed import STUD
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.part import Part
from fuseplan.engine.results import Results
from fuseplan.engine.tree import Tree, TreeBuilder
from fuseplan.records import dataclass

CONTACT_OHM = 0.0015
"""How much the contacts of a holder, a plug or a ring in good order may add, one standard deviation; the plan counts
them as nothing. Common practice, no source; the published limit of a joint is 3 mΩ (AC 43.13-1B)."""
FUSE_SHARE = 0.12
"""The same for a fuse over its cold resistance: makers differ, and its element warms. Common practice, no source."""
JOINT_SHARE = 0.5
"""The same for a joint or contact of stated or assumed resistance."""
LENGTH_SHARE = 0.04
"""The same for a length of wire, measured beside the car."""


COIL_WIRES = ("coil_86", "coil_85")
"""The wires of a relay's coil, which the current of the circuit does not pass."""


class Element(NamedTuple):
    """One part a current passes, in the order the current passes them."""

    returns: bool
    kind: str
    """"circuit", "feed", "earth" or "alternator"."""
    subject: str
    what: str
    """``holder``, ``fuse``, ``contact``, ``wire``, ``own_wire``, ``own_return``, ``return``, ``strap``, ``cable``, of
    a relay's coil `COIL_WIRES`."""
    load: int
    """Number of the load whose own wire it is; 0 for others."""


class Resistance(NamedTuple):
    """Resistance of an element in good order [ohm]."""

    ohm: float
    """Copper at 20 °C."""
    copper_ohm: float
    """How much of it is wire, which follows the temperature."""
    spread_ohm: float
    """One standard deviation, temperature aside."""


@dataclass()
class TreeSide:
    """One tree as it is built: nodes in any order, each with what hangs on it."""

    parent: list[int] = field(default_factory=list)
    element: list[Element | None] = field(default_factory=list)
    parts: list[Resistance] = field(default_factory=list)
    consumers: list[list[int]] = field(default_factory=list)

    def add(self, parent: int, element: Element | None, parts: Resistance) -> int:
        """A node below another; its number."""
        self.parent.append(parent)
        self.element.append(element)
        self.parts.append(parts)
        self.consumers.append([])
        return len(self.parent) - 1

    def built(self) -> tuple[Tree, Ints]:
        """The tree, and for each node as added its number in it."""
        builder = TreeBuilder()
        children: list[list[int]] = [[] for _ in self.parent]
        for node, parent in enumerate(self.parent):
            if parent >= 0:
                children[parent].append(node)
        opened = [0] * len(self.parent)
        ahead: list[tuple[int, bool]] = [(0, False)]
        while ahead:
            node, done = ahead.pop()
            if done:
                builder.close(opened[node])
                continue
            parent = self.parent[node]
            opened[node] = builder.open(-1 if parent < 0 else opened[parent])
            for consumer in self.consumers[node]:
                builder.consumer(consumer)
            ahead.append((node, True))
            ahead += [(child, False) for child in reversed(children[node])]
        tree, final = builder.build()
        return tree, final[np.array(opened, dtype=np.int64)]


@dataclass(frozen=True)
class Tested:
    """One side of the network for the solver, N nodes."""

    tree: Tree
    elements: tuple[Element | None, ...]
    """The element whose branch ends at each node; None for the root and for circuits not asked about."""
    ohm: Floats
    copper_ohm: Floats
    spread_ohm: Floats
    node: Ints
    """Where each consumer hangs (K,)."""

    def behind(self, node: int) -> Flags:
        """The nodes behind a node, itself included (N,)."""
        found = np.zeros(self.tree.count, dtype=bool)
        found[node] = True
        for low, high in self.tree.levels:
            found[low:high] |= found[self.tree.parent[low:high]]
        return found


NOTHING = Resistance(0.0, 0.0, 0.0)
CONTACT = Resistance(0.0, 0.0, CONTACT_OHM)
EARTH_RING = Resistance(0.0, 0.0, STUD.ohm)
"""A ring on an earth point, bolted."""


def series(parts: Sequence[Resistance]) -> Resistance:
    """Resistance of parts in series; what is not known of each is independent of the others."""
    return Resistance(sum(each.ohm for each in parts), sum(each.copper_ohm for each in parts),
                      math.sqrt(sum(each.spread_ohm**2 for each in parts)))


@dataclass(frozen=True)
class CarModel:
    """The network of a plan with some circuits as they are probed. K consumers."""

    results: Results
    circuits: tuple[str, ...]
    """Those whose parts are elements."""
    supply: Tested
    returns: Tested
    consumers: Ints
    """Number of each in the engine's network (K,)."""
    part: Part
    feed_node: dict[str, int]
    earth_node: dict[str, int]
    node_of: dict[Element, int]

    def load(self, circuit: str, number: int) -> int:
        """Place of a load among the consumers."""
        return self._place(("circuit", circuit), LOAD, number)

    def coil(self, owner: tuple[str, str]) -> int:
        """Place of a relay's coil among the consumers, -1 where it has none."""
        return self._place(owner, COIL, None)

    def _place(self, owner: tuple[str, str], kind: int, number: int | None) -> int:
        consumers = self.results.network.consumers
        for place, index in enumerate(self.consumers.tolist()):
            if consumers.owner[index] == owner and consumers.kind[index] == kind \
                    and (number is None or consumers.number[index] == number):
                return place
        return -1
