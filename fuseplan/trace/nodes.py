"""How each cell of an array came about, kept while recording.

A node keeps the figures of its array as they were when it was made. Which cell of which other node a cell rests on is
found when somebody asks: what only moves figures about is done once more, on the numbers of the cells.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Any

import numpy as np

from fuseplan.array_types import Floats, Ints

Words = str | Callable[..., str]
"""A text, or what makes it from the place of a cell: one whole number for each axis."""


class Node:
    """An array and where it comes from; this one knows only the figures, which nothing explains."""

    def __init__(self, value: Any) -> None:
        self.value: Floats = np.array(value, dtype=float)

    def place(self, cell: int) -> tuple[int, ...]:
        """A cell's number along each axis."""
        return tuple(int(each) for each in np.unravel_index(cell, self.value.shape))

    def at(self, cell: int) -> float:
        """The figure in a cell."""
        return float(self.value.reshape(-1)[cell])


Ref = tuple[Node, int]
"""A cell of a node."""


def matching(node: Node, shape: tuple[int, ...], cell: int) -> int:
    """The cell of a node that stands for a cell of an array it was broadcast to."""
    if node.value.shape == shape:
        return cell
    numbers = np.arange(node.value.size).reshape(node.value.shape)
    return int(np.broadcast_to(numbers, shape).reshape(-1)[cell])


def text_of(words: Words, place: tuple[int, ...]) -> str:
    """Words, for one cell."""
    return words if isinstance(words, str) else words(*place)


class Moved(Node):
    """Figures moved about: sliced, turned, joined, chosen between. `how` does to the numbers of the parents' cells what
    was done to their figures; where it gives -1 the figure is no parent's."""

    def __init__(self, value: Any, parents: Sequence[Node], how: Callable[..., Any], words: Words = "") -> None:
        super().__init__(value)
        self.parents, self._how = tuple(parents), how
        self.words = words
        """Why a figure that is no parent's stands there."""

    @cached_property
    def _numbers(self) -> Ints:
        starts = self._starts
        numbered = [start + np.arange(each.value.size).reshape(each.value.shape)
                    for start, each in zip(starts, self.parents, strict=False)]
        return np.broadcast_to(np.asarray(self._how(*numbered)), self.value.shape).reshape(-1)

    @cached_property
    def _starts(self) -> list[int]:
        return [*itertools.accumulate((each.value.size for each in self.parents), initial=0)]

    def source(self, cell: int) -> Ref | None:
        """The cell a figure was moved from; None where it is a figure of its own."""
        found = int(self._numbers[cell])
        if found < 0:
            return None
        parent = int(np.searchsorted(self._starts, found, side="right")) - 1
        # Empty parents start where the next one does; the last that starts there holds the cell.
        return self.parents[parent], found - self._starts[parent]


class Applied(Node):
    """A formula's result."""

    def __init__(self, value: Any, formula: Callable[..., Any], inputs: dict[str, Node]) -> None:
        super().__init__(value)
        self.formula, self.inputs = formula, inputs

    def refs(self, cell: int) -> dict[str, Ref]:
        """The cells a cell was worked out from, by name of the argument."""
        return {name: (node, matching(node, self.value.shape, cell)) for name, node in self.inputs.items()}


class Plain(Node):
    """Arithmetic outside a formula."""

    def __init__(self, value: Any, sign: str, parents: Sequence[Node]) -> None:
        super().__init__(value)
        self.sign, self.parents = sign, tuple(parents)

    def refs(self, cell: int) -> list[Ref]:
        """The cells a cell was worked out from."""
        return [(node, matching(node, self.value.shape, cell)) for node in self.parents]


class Leaf(Node):
    """What the plan, a table or a rule gives."""

    def __init__(self, value: Any, symbol: str, unit: str, words: Words, cite: Words) -> None:
        super().__init__(value)
        self.symbol, self.unit, self.words, self.cite = symbol, unit, words, cite


class PerPart(Node):
    """Figures of which each was worked out by the engine from one part of the plan; `again` does so once more."""

    def __init__(self, value: Any, again: Callable[..., Any]) -> None:
        super().__init__(value)
        self.again = again


class Gathered(Node):
    """Figures collected one by one, those that know where they come from with it."""

    def __init__(self, value: Any, members: dict[int, Node]) -> None:
        super().__init__(value)
        self.members = members


class Folded(Node):
    """Many figures made one: their sum, or the largest or smallest of them."""

    def __init__(self, value: Any, which: str, members: Callable[[int], list[Ref]], words: Words = "",
                 names: Callable[..., str] | None = None, cite: str = "", symbol: str = "", many: bool = True) -> None:
        super().__init__(value)
        self.which, self.members, self.words, self.names = which, members, words, names
        self.cite, self.symbol = cite, symbol
        self.many = many
        """Only the one chosen is followed back, as there may be many."""
        self.called: dict[int, Words] = {}
        """Names of the parents' cells, by the identity of the parent, where the parents are few."""
        self.follow: Callable[..., bool] | None = None
        """Which solved figures summed are followed back too, by the place of each; where parents are few all are."""


class Decided(Node):
    """A row of a table, a choice or an algorithm's answer: words say which, after what it rests on."""

    def __init__(self, value: Any, symbol: str, unit: str, words: Words, cite: Words,
                 rests_on: Callable[[int], list[Ref]]) -> None:
        super().__init__(value)
        self.symbol, self.unit, self.words, self.cite, self.rests_on = symbol, unit, words, cite, rests_on


class Solved(Node):
    """A figure of the solved network. `because` gives the law that holds it to its neighbours, as an array of the same
    shape in which they stand."""

    def __init__(self, value: Any, symbol: str, unit: str, words: Words, how: str,
                 because: Callable[[], Any] | None) -> None:
        super().__init__(value)
        self.symbol, self.unit, self.words, self.how, self._because = symbol, unit, words, how, because

    @cached_property
    def because(self) -> Any:
        """What ties each cell of the solution, by cell."""
        return None if self._because is None else self._because()
