"""Trees of branches as arrays: sums over subtrees and drops along paths without walking node by node.

Consumers are numbered so that everything behind a node is one stretch of numbers; the current of a branch is then
a difference of two prefix sums. Nodes are numbered level by level; the voltages of a level follow from the level
above it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats, Ints
from fuseplan.records import dataclass
from fuseplan.trace import bare, summed
from fuseplan.trace.nodes import Words
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE, Names


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
        """Number of nodes."""
        return len(self.parent)

    def branch_sums(self, values: Floats, nodes: Ints | None = None, words: Words = "together",
                    names: Names | None = None) -> Floats:
        """Sum of a quantity over the consumers behind each node.

        Args:
            values: array (..., L), one value per consumer
            nodes: the nodes asked for, all of them where left out
            words, names: optional. For the working: what the sum is, from the place (node, …), and what each consumer
                is called.
        Returns:
            array (..., N)
        """
        return self.sums(values.T, nodes, words, names).T

    def sums(self, values: Floats, nodes: Ints | None = None, words: Words = "together",
             names: Names | None = None) -> Floats:
        """`branch_sums` with consumers and nodes on the first axis, which is quicker where there are other axes."""
        plain: Floats = bare(values)
        prefix = np.empty((plain.shape[0] + 1, *plain.shape[1:]))
        prefix[0] = 0.0
        _running(plain, None if self.in_order else self.order, prefix)
        end, start = (self.end, self.start) if nodes is None else (self.end[nodes], self.start[nodes])
        found = prefix.take(end, axis=0)
        found -= prefix.take(start, axis=0)
        if plain is values:
            return found
        traced: Floats = summed(found, values, 0, lambda at: self.order[start[at]:end[at]], words, names)
        return traced

    def holds(self, consumer: int) -> NDArray[np.bool_]:
        """Nodes that have a consumer behind them (N,)."""
        place = int(np.flatnonzero(self.order == consumer)[0])
        return (self.start <= place) & (place < self.end)

    def path_drops(self, branch_drops: Floats, words: Words = "along the way", names: Names | None = None,
                   cite: str = KIRCHHOFF_VOLTAGE) -> Floats:
        """Drop from the root to each node, from the drop of each branch; arrays (..., N), same unit. For the working:
        what the sum is, from the place (node, …), and what each branch is called."""
        return self.drops(branch_drops.T, words, names, cite).T

    def drops(self, branch_drops: Floats, words: Words = "along the way", names: Names | None = None,
              cite: str = KIRCHHOFF_VOLTAGE) -> Floats:
        """`path_drops` with the nodes on the first axis."""
        plain: Floats = bare(branch_drops)
        total = np.empty_like(plain, order="C")
        total[0] = 0.0
        for low, high in self.levels:
            np.add(total.take(self.parent[low:high], axis=0), plain[low:high], out=total[low:high])
        if plain is branch_drops:
            return total
        traced: Floats = summed(total, branch_drops, 0, self.way, words, names, cite)
        return traced

    def part(self, consumers: Ints) -> TreePart:
        """The nodes with some of the consumers behind them, and the root, as a tree of its own."""
        place = np.empty(len(self.order), dtype=np.int64)
        place[self.order] = np.arange(len(self.order))
        order = np.argsort(place[consumers], kind="stable")
        at = place[consumers][order]
        start, end = np.searchsorted(at, self.start), np.searchsorted(at, self.end)
        used = end > start
        used[0] = True
        before = np.concatenate([[0], np.cumsum(used)])
        near = before[1:] - 1
        for low, high in self.levels:
            near[low:high] = np.where(used[low:high], near[low:high], near[self.parent[low:high]])
        nodes = np.flatnonzero(used)
        levels = tuple((int(before[low]), int(before[high])) for low, high in self.levels if before[high] > before[low])
        tree = Tree(parent=near[self.parent[nodes]], levels=levels, start=start[nodes], end=end[nodes], order=order,
                    in_order=bool(np.array_equal(order, np.arange(len(order)))))
        return TreePart(tree, nodes, near)

    def way(self, node: int) -> Ints:
        """Nodes from the one below the root to a node."""
        found = []
        while node != 0:
            found.append(node)
            node = int(self.parent[node])
        return np.array(found[::-1], dtype=np.int64)


class TreePart(NamedTuple):
    """Some nodes of a tree, as a tree."""

    tree: Tree
    """Of which the consumers asked for are numbered as they were given."""
    nodes: Ints
    """The number each of its nodes has in the whole."""
    near: Ints
    """For each node of the whole, the nearest one on its way to the root that is in the part, itself included: with
    nothing flowing between, their voltages are the same."""


ROW_BY_ROW = 64
"""From so many columns on whole rows are added one by one: numpy's running sum goes down each column instead."""
IN_THE_CACHE = 1024
"""So many rows at a time are gone down: with more, each step of a column waits for memory."""


def _running(values: Floats, order: Ints | None, out: Floats) -> None:
    """Running sums along the first axis, in some order of its rows; the first row of `out` is what they begin with."""
    if values.size >= ROW_BY_ROW * len(values) > 0:
        before = out[0]
        for row, after in zip(values if order is None else map(values.__getitem__, order.tolist()), out[1:],
                              strict=True):
            np.add(before, row, out=after)
            before = after
        return
    if order is None:
        out[1:] = values
    else:
        np.asarray(values, dtype=float).take(order, axis=0, out=out[1:], mode="clip")
    # Neighbouring columns go as the two parts of one complex number: half the steps, and the very same sums.
    sums = out.view(np.complex128) if out.ndim > 1 and out.shape[-1] % 2 == 0 else out
    # Each block begins with the last sums of the one before.
    for low in range(1, len(sums), IN_THE_CACHE - 1):
        block = sums[low:low + IN_THE_CACHE]
        block.cumsum(axis=0, out=block)


def depth_first(root: str, children: Mapping[str, Sequence[str]]) -> Iterator[tuple[str | None, str]]:
    """The names of a tree depth first: (name, its parent, "" for the root) where it is entered, (None, name) where it
    is left."""
    ahead: list[tuple[str | None, str]] = [(root, "")]
    while ahead:
        name, parent = ahead.pop()
        yield name, parent
        if name is not None:
            ahead.append((None, name))
            ahead += [(child, name) for child in reversed(children.get(name, ()))]


@dataclass()
class TreeBuilder:
    """Builds a tree depth first: `open` a node, add its consumers, open and close its children, `close` it."""

    parent: list[int] = field(default_factory=list)
    level: list[int] = field(default_factory=list)
    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    order: list[int] = field(default_factory=list)

    def open(self, parent: int) -> int:
        """Number of a new node below a parent; it is the last one until it is closed."""
        node = len(self.parent)
        self.parent.append(parent)
        self.level.append(0 if parent < 0 else self.level[parent] + 1)
        self.start.append(len(self.order))
        self.end.append(-1)
        return node

    def consumer(self, number: int) -> None:
        """Hang a consumer on the last node."""
        self.order.append(number)

    def close(self, node: int) -> None:
        """Close a node: what follows does not hang on it."""
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
