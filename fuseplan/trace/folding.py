"""Which cells a sum or an extreme is made from, and which of two was taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from fuseplan.trace.nodes import Moved, Node, Ref


def winner(found: Any, parents: list[Node]) -> Node:
    """The larger or smaller of two, cell by cell; a plain figure wins only where it is the one taken."""
    first = np.broadcast_to(parents[0].value, np.shape(found)) == found

    def numbered(*numbers: Any) -> Any:
        return np.where(first, *(np.full(np.shape(each), -1) if type(node) is Node else each
                                 for node, each in zip(parents, numbers, strict=True)))

    return Moved(found, parents, numbered)


def folded_members(parent: Node, found: Any, method: str, inputs: tuple[Any, ...], named: dict[str, Any]
                   ) -> Callable[[int], list[Ref]]:
    """Which cells of an array each cell of a sum or an extreme is made from; `inputs` are plain."""
    numbers = np.arange(parent.value.size).reshape(parent.value.shape)
    shape = np.shape(found)
    if method == "reduce":
        axis = named.get("axis", inputs[1] if len(inputs) > 1 else 0)
        axes = tuple(range(numbers.ndim)) if axis is None else tuple(np.atleast_1d(axis) % numbers.ndim)
        last = np.moveaxis(numbers, axes, range(-len(axes), 0))
        lined = last.reshape(int(np.prod(shape)), int(np.prod(last.shape[numbers.ndim - len(axes):])))
        return lambda cell: [(parent, int(each)) for each in lined[cell]]
    axis = named.get("axis", 0) % max(numbers.ndim, 1)
    if method == "accumulate":
        return lambda cell: [(parent, int(each)) for each in _line(numbers, shape, cell, axis, 0, None)]
    first = np.append(np.asarray(inputs[1]), numbers.shape[axis])

    def stretch(cell: int) -> list[Ref]:
        place = int(np.unravel_index(cell, shape)[axis])
        line = _line(numbers, shape, cell, axis, int(first[place]), int(first[place + 1]))
        return [(parent, int(each)) for each in line]

    return stretch


def _line(numbers: Any, shape: tuple[int, ...], cell: int, axis: int, low: int, high: int | None) -> Any:
    place = list(np.unravel_index(cell, shape))
    top = int(place[axis]) + 1 if high is None else high
    key: list[Any] = [int(each) for each in place]
    key[axis] = slice(low, top)
    return numbers[tuple(key)]
