"""Trees of branches as arrays: sums over subtrees and drops along paths without walking node by node.

Consumers are numbered so that everything behind a node is one stretch of numbers; the current of a branch is then
a difference of two prefix sums. Nodes are numbered level by level; the voltages of a level follow from the level
above it.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Tree:
    """A rooted tree of N nodes; node 0 is the root, every other node has one branch to its parent.

    `start` and `end` bound the consumers behind each node in this tree's own order; `order` gives, for each place
    in that order, the consumer's number.
    """

    parent: Ints
    levels: tuple[tuple[int, int], ...]
    start: Ints
    end: Ints
    order: Ints
    in_order: bool
    """Consumers are numbered in this tree's own order."""

    @property
    def count(self) -> int:
        return len(self.parent)

    def branch_sums(self, values: Floats, nodes: Ints | None = None) -> Floats:
        """Sum of a quantity over the consumers behind each node.

        Parameters
        ----------
        values : array (..., L), one value per consumer
        nodes : array of int, optional
            The nodes asked for, all of them where left out.

        Returns
        -------
        array (..., N)
        """
        prefix = np.zeros((*values.shape[:-1], values.shape[-1] + 1))
        np.cumsum(values if self.in_order else values[..., self.order], axis=-1, out=prefix[..., 1:])
        if nodes is not None:
            return prefix[..., self.end[nodes]] - prefix[..., self.start[nodes]]
        return prefix[..., self.end] - prefix[..., self.start]

    def holds(self, consumer: int) -> NDArray[np.bool_]:
        """Nodes that have a consumer behind them (N,)."""
        place = int(np.flatnonzero(self.order == consumer)[0])
        return (self.start <= place) & (place < self.end)

    def path_drops(self, branch_drops: Floats) -> Floats:
        """Drop from the root to each node, from the drop of each branch; arrays (..., N), same unit."""
        total = np.zeros_like(branch_drops)
        for low, high in self.levels:
            total[..., low:high] = total[..., self.parent[low:high]] + branch_drops[..., low:high]
        return total


@dataclass
class TreeBuilder:
    """Builds a tree depth first: `open` a node, add its consumers, open and close its children, `close` it."""

    parent: list[int] = field(default_factory=list)
    level: list[int] = field(default_factory=list)
    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    order: list[int] = field(default_factory=list)

    def open(self, parent: int) -> int:
        node = len(self.parent)
        self.parent.append(parent)
        self.level.append(0 if parent < 0 else self.level[parent] + 1)
        self.start.append(len(self.order))
        self.end.append(-1)
        return node

    def consumer(self, number: int) -> None:
        self.order.append(number)

    def close(self, node: int) -> None:
        self.end[node] = len(self.order)

    def build(self) -> tuple[Tree, Ints]:
        """The finished tree, and for each node as built its final number."""
        level = np.array(self.level, dtype=np.int64)
        by_level = np.argsort(level, kind="stable")
        final = np.empty(len(level), dtype=np.int64)
        final[by_level] = np.arange(len(level))
        parent = np.array(self.parent, dtype=np.int64)[by_level]
        parent = np.where(parent >= 0, final[np.maximum(parent, 0)], 0)
        sorted_level = level[by_level]
        edges = np.searchsorted(sorted_level, np.arange(1, int(level.max(initial=0)) + 2))
        levels = tuple((int(low), int(high)) for low, high in itertools.pairwise(edges))
        order = np.array(self.order, dtype=np.int64)
        return Tree(
            parent=parent, levels=levels, start=np.array(self.start, dtype=np.int64)[by_level],
            end=np.array(self.end, dtype=np.int64)[by_level], order=order,
            in_order=bool(np.array_equal(order, np.arange(len(order)))),
        ), final
