"""Sums and drops over some branches of a tree for many samples, with nothing in it that grows as branches × consumers.

Everything behind a branch is one stretch of places in the tree's own order, so a sum behind it is the difference of two
running sums, and the drop up to a place is what the branches begun before it lose, less what those ended before it do.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.tree import Tree

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Reach = tuple[Ints, Ints]
"""For each of some consumers, how many branches begin at or before its place, and how many end before it."""

ROW_BY_ROW = 64
"""From so many samples on whole rows are added one by one: numpy's running sum goes down each column instead."""


class Behind:
    """Some branches of a tree, and some consumers: which hang behind which."""

    def __init__(self, tree: Tree, nodes: Ints, consumers: Ints) -> None:
        self._place = np.empty(len(tree.order), dtype=np.int64)
        self._place[tree.order] = np.arange(len(tree.order))
        at = self._place[consumers]
        order = np.argsort(at, kind="stable")
        self._order = None if np.array_equal(order, np.arange(len(order))) else order
        start, end = tree.start[nodes], tree.end[nodes]
        self._first, self._last = np.searchsorted(at[order], start), np.searchsorted(at[order], end)
        self._by_start, self._by_end = np.argsort(start, kind="stable"), np.argsort(end, kind="stable")
        self._starts, self._ends = start[self._by_start], end[self._by_end]

    @property
    def any(self) -> NDArray[np.bool_]:
        """Branches with a consumer behind them (B,)."""
        return self._last > self._first

    def reach(self, consumers: Ints) -> Reach:
        """How far `drops` counts for consumers, be they among those behind or not."""
        at = self._place[consumers]
        return np.searchsorted(self._starts, at, side="right"), np.searchsorted(self._ends, at, side="right")

    def sums(self, values: Floats) -> Floats:
        """Sum behind each branch (B, n) of a quantity of each consumer (K, n)."""
        running = _running(values if self._order is None else values.take(self._order, axis=0))
        found = running.take(self._last, axis=0)
        found -= running.take(self._first, axis=0)
        return found

    def drops(self, lost: Floats, reach: Reach) -> Floats:
        """Sum over the branches on the way to each consumer (W, n) of what each loses (B, n)."""
        begun, ended = reach
        found = _running(lost.take(self._by_start, axis=0)).take(begun, axis=0)
        found -= _running(lost.take(self._by_end, axis=0)).take(ended, axis=0)
        return found


def _running(values: Floats) -> Floats:
    """Running sums along the first axis, from 0 on."""
    out = np.empty((values.shape[0] + 1, *values.shape[1:]))
    out[0] = 0.0
    if values.shape[1] < ROW_BY_ROW:
        np.cumsum(values, axis=0, out=out[1:])
        return out
    before = out[0]
    for row, after in zip(values, out[1:], strict=True):
        np.add(before, row, out=after)
        before = after
    return out
