"""The words the engine works in. Outside a recording each returns the plain figures and costs one call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, Protocol, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats, Ints
from fuseplan.formulas.registry import Value
from fuseplan.trace.arrays import bare, between, is_followed, node_of, traced
from fuseplan.trace.folding import folded_members
from fuseplan.trace.nodes import (
    Applied,
    Decided,
    Folded,
    Gathered,
    Leaf,
    Moved,
    Node,
    PerPart,
    Ref,
    Solved,
    Words,
    matching,
)
from fuseplan.trace.switch import recording

Figures = TypeVar("Figures")
Names = Callable[[int], str] | Sequence[str]
"""What the places along an axis are called."""

KIRCHHOFF_CURRENT = "Kirchhoff's current law"
KIRCHHOFF_VOLTAGE = "Kirchhoff's voltage law"
IN_SERIES = "resistances in series add"
WORSE = "choice: the worse of the answers above"


class Who(NamedTuple):
    """A part of the plan: what it is called, and its path."""

    words: str
    path: str

    def cite(self, key: str = "") -> str:
        """The entry of the plan under a key of it."""
        return f"the plan, {self.path}.{key}" if key else f"the plan, {self.path}"


NOBODY = Who("", "")


class HasSource(Protocol):
    """A table's answer with its source."""

    @property
    def value(self) -> Any:
        """The value."""

    @property
    def source(self) -> Any:
        """Where it was read."""


def apply(function: Callable[..., Value], **inputs: Value) -> Value:
    """A formula's result: one step of the working, symbols and numbers."""
    if not recording():
        return function(**inputs)
    found = function(**{name: bare(value) for name, value in inputs.items()})
    return traced(found, Applied(found, function, {name: node_of(value) for name, value in inputs.items()}))


def given(value: Figures, symbol: str, unit: str, words: Words, cite: Words, who: Who = NOBODY) -> Figures:
    """A figure of the plan, of a set of limits or of common practice, as it stands there. Its texts may name the
    ``{words}`` and the ``{path}`` of the part it belongs to: they are put together only while recording."""
    if not recording():
        return value
    if who is not NOBODY and isinstance(words, str) and isinstance(cite, str):
        words, cite = (text.format(words=who.words, path=who.path) for text in (words, cite))
    found: Figures = traced(bare(value), Leaf(bare(value), symbol, unit, words, cite))
    return found


def cited(found: HasSource, symbol: str, unit: str, words: Words) -> Any:
    """A figure of a table with its source."""
    if not recording():
        return found.value
    return traced(found.value, Leaf(found.value, symbol, unit, words, found.source.line()))


def per_part(values: Floats, again: Callable[..., Any]) -> Any:
    """Figures the engine worked out one by one from parts of the plan; `again`, from the place of a cell, calls what it
    was worked out by."""
    return traced(values, PerPart(values, again)) if recording() else values


def gathered(values: Sequence[Any]) -> Any:
    """Numbers or rows of numbers as one array."""
    found = np.array(values, dtype=float)
    if not recording():
        return found
    flat = [each for row in values for each in row] if found.ndim == 2 else list(values)
    members = {place: each.node for place, each in enumerate(flat) if is_followed(each)}
    return traced(found, Gathered(found, members))


def blank(shape: int | tuple[int, ...], fill: float) -> Any:
    """An array to be filled in."""
    found = np.full(shape, fill)
    return traced(found, Node(found)) if recording() else found


def spread(value: Any, count: int) -> Any:
    """One figure so many times."""
    found = np.full(count, bare(value), dtype=float)
    if not recording() or not is_followed(value):
        return found
    return traced(found, Moved(found, [node_of(value)], lambda numbers: np.full(count, numbers)))


def number(value: Any) -> float:
    """One figure as a float."""
    if not recording() or not is_followed(value):
        return float(value)
    found: float = traced(float(bare(value)), Moved(bare(value), [node_of(value)], lambda numbers: numbers.reshape(())))
    return found


def chosen(condition: Any, yes: Any, no: Any, words: Words) -> Any:
    """One figure where a condition holds, the other elsewhere; `words` say why, where the one taken is a plain one."""
    if not recording() or not (is_followed(yes) or is_followed(no)):
        return np.where(condition, yes, no)
    return between(bare(condition), yes, no, words)


def _named(names: Names | None, axis: int) -> Callable[..., str] | None:
    if names is None:
        return None
    call = names if callable(names) else names.__getitem__
    return lambda *place: call(place[axis])


def _extreme(which: str, values: Any, axis: int, words: Words, names: Names | None) -> Any:
    plain = bare(values)
    found = plain.max(axis=axis) if which == "largest" else plain.min(axis=axis)
    if not recording() or not is_followed(values):
        return found
    members = folded_members(node_of(values), found, "reduce", (plain, axis), {})
    return traced(found, Folded(found, which, members, words, _named(names, axis % plain.ndim), WORSE))


def largest(values: Any, axis: int, words: Words, names: Names | None = None) -> Any:
    """The largest along an axis."""
    return _extreme("largest", values, axis, words, names)


def smallest(values: Any, axis: int, words: Words, names: Names | None = None) -> Any:
    """The smallest along an axis."""
    return _extreme("smallest", values, axis, words, names)


def total(values: Any, axis: int, words: Words, names: Names | None = None, cite: str = KIRCHHOFF_CURRENT,
          follow: Callable[[int], bool] | None = None) -> Any:
    """The sum along an axis; `follow` says from which solved figures the working goes further back, by their place."""
    found = bare(values).sum(axis=axis)
    if not recording() or not is_followed(values):
        return found
    plain = bare(values)
    members = folded_members(node_of(values), found, "reduce", (plain, axis), {})
    node = Folded(found, "sum", members, words, _named(names, axis % plain.ndim), cite)
    if follow is not None:
        node.follow = lambda *place: follow(place[axis % plain.ndim])
    return traced(found, node)


class Series(NamedTuple):
    """What some cells along the last axis of an array add to each cell of a sum."""

    values: Any
    cells: Callable[[int], Ints]
    """The places along its last axis that belong to a place along the last axis of the sum."""
    name: Words


def in_series(found: Any, parts: Sequence[Series], words: Words) -> Any:
    """A sum over different arrays, worked out as `found`, for a recorded run."""
    nodes = [node_of(each.values) for each in parts]

    def refs(cell: int) -> list[Ref]:
        *rows, at = (int(each) for each in np.unravel_index(cell, np.shape(found)))
        members: list[Ref] = []
        for node, part in zip(nodes, parts, strict=True):
            numbers = np.arange(node.value.size).reshape(node.value.shape)
            line = numbers[tuple(rows)] if numbers.ndim == np.ndim(found) else numbers
            members += [(node, int(each)) for each in line[part.cells(at)]]
        return members

    node = Folded(found, "sum", refs, words, None, IN_SERIES)
    node.called = {id(each): part.name for each, part in zip(nodes, parts, strict=True)}
    return traced(found, node)


def _of_many(which: str, found: Any, values: Sequence[Any], words: Words, names: Sequence[str], cite: str) -> Any:
    nodes = [node_of(each) for each in values]
    shape = np.shape(found)
    called: dict[int, Words] = {id(node): name for node, name in zip(nodes, names, strict=False)}

    def members(cell: int) -> list[Ref]:
        return [(node, matching(node, shape, cell)) for node in nodes]

    node = Folded(found, which, members, words, None, cite, many=False)
    node.called = called
    return traced(found, node)


def larger(words: Words, first: Any, second: Any) -> Any:
    """The larger of two answers, both shown."""
    found = np.maximum(bare(first), bare(second))
    return _of_many("largest", found, (first, second), words, (), WORSE) if recording() else found


def smaller(words: Words, first: Any, second: Any) -> Any:
    """The smaller of two answers, both shown."""
    found = np.minimum(bare(first), bare(second))
    return _of_many("smallest", found, (first, second), words, (), WORSE) if recording() else found


def together(words: Words, parts: Sequence[tuple[str, Any]], cite: str = KIRCHHOFF_CURRENT) -> Any:
    """A sum of a few parts, each named."""
    found = bare(parts[0][1])
    for _, part in parts[1:]:
        found = found + bare(part)
    if not recording():
        return found
    return _of_many("sum", found, [part for _, part in parts], words, [name for name, _ in parts], cite)


def summed(found: Floats, values: Any, axis: int, members: Callable[[int], Ints], words: Words,
           names: Names | None = None, cite: str = KIRCHHOFF_CURRENT) -> Any:
    """A sum of some of the figures along an axis, worked out as `found`; `members` says which, from the place along the
    same axis of `found`."""
    if not recording() or not is_followed(values):
        return found
    source = node_of(values)
    numbers = np.moveaxis(np.arange(source.value.size).reshape(source.value.shape), axis, -1)

    def refs(cell: int) -> list[Ref]:
        place = [int(each) for each in np.unravel_index(cell, np.shape(found))]
        at = place.pop(axis % len(np.shape(found)))
        return [(source, int(each)) for each in numbers[tuple(place)][members(at)]]

    node = Folded(found, "sum", refs, words, _named(names, axis % source.value.ndim), cite)
    return traced(found, node)


def decided(value: Figures, symbol: str, unit: str, words: Words, cite: Words, *rests_on: Any) -> Figures:
    """A table's row, a choice or an algorithm's answer, and the figures it rests on; `words` and `cite` say which, for
    the place of a cell."""
    if not recording():
        return value
    nodes, plain = [node_of(each) for each in rests_on], bare(value)
    shape = np.shape(plain)

    def refs(cell: int) -> list[Ref]:
        return [(node, matching(node, shape, cell)) for node in nodes]

    found: Figures = traced(plain, Decided(plain, symbol, unit, words, cite, refs))
    return found


def solved(value: ArrayLike, symbol: str, unit: str, words: Words, how: str,
           because: Callable[[], Any] | None = None) -> Any:
    """Figures of the solved network, and the law that ties each to its neighbours."""
    return traced(bare(value), Solved(bare(value), symbol, unit, words, how, because)) if recording() else value
