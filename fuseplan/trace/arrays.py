"""Arrays and floats that know where they come from; they exist only while recording.

What moves figures about is followed by itself: slices, `take`, `where`, `concatenate`, assignment. Sums, extremes and
arithmetic are kept as such. Anything else gives a plain array: whatever rests on it has no working, which the tests
notice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np

from fuseplan.trace.folding import folded_members, winner
from fuseplan.trace.nodes import Folded, Moved, Node, Plain, Ref

_SIGNS: dict[Any, str] = {
    np.add: "+", np.subtract: "-", np.multiply: "·", np.divide: "/", np.power: "^", np.negative: "neg",
    np.absolute: "abs", np.square: "square", np.sqrt: "root"}
_EXTREMES: dict[Any, str] = {np.maximum: "largest", np.minimum: "smallest", np.fmax: "largest", np.fmin: "smallest"}
_MOVES = {np.take, np.reshape, np.moveaxis, np.transpose, np.broadcast_to, np.repeat, np.tile, np.copy, np.squeeze,
          np.take_along_axis, np.expand_dims, np.swapaxes, np.ravel}
_JOINS = {np.concatenate, np.stack}
_BLANKS = {np.zeros_like, np.ones_like, np.full_like, np.empty_like}


class Noted(float):
    """A float that knows where it comes from."""

    node: Node

    def __new__(cls, value: float, node: Node) -> Noted:
        found = super().__new__(cls, value)
        found.node = node
        return found

    def __reduce__(self) -> tuple[Any, ...]:
        return float, (float(self),)

    __array_priority__ = 20.0

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **named: Any) -> Any:
        return _ufunc(ufunc, method, inputs, named)

    def _with(self, ufunc: np.ufunc, *inputs: Any) -> Any:
        return _ufunc(ufunc, "__call__", inputs, {})

    def __add__(self, other: Any) -> Any:
        return self._with(np.add, self, other)

    def __radd__(self, other: Any) -> Any:
        return self._with(np.add, other, self)

    def __sub__(self, other: Any) -> Any:
        return self._with(np.subtract, self, other)

    def __rsub__(self, other: Any) -> Any:
        return self._with(np.subtract, other, self)

    def __mul__(self, other: Any) -> Any:
        return self._with(np.multiply, self, other)

    def __rmul__(self, other: Any) -> Any:
        return self._with(np.multiply, other, self)

    def __truediv__(self, other: Any) -> Any:
        return self._with(np.divide, self, other)

    def __rtruediv__(self, other: Any) -> Any:
        return self._with(np.divide, other, self)

    def __neg__(self) -> Any:
        return self._with(np.negative, self)

    def __abs__(self) -> Any:
        return self._with(np.absolute, self)


class Traced(np.ndarray[Any, np.dtype[np.float64]]):
    """An array that knows where each of its cells comes from."""

    node: Node | None

    def __array_finalize__(self, source: Any) -> None:
        self.node = None

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **named: Any) -> Any:
        return _ufunc(ufunc, method, inputs, named)

    def __array_function__(self, function: Any, types: Any, inputs: Any, named: Any) -> Any:
        if function is np.where and len(inputs) == 3:
            return _where(*inputs)
        if function in _MOVES:
            return moved(lambda array: function(array, *inputs[1:], **named), inputs[0])
        if function in _JOINS:
            parts = list(inputs[0])
            return joined(lambda arrays: function(arrays, *inputs[1:], **named), parts)
        if function in (np.max, np.min, np.sum, np.amax, np.amin):
            return getattr(inputs[0], function.__name__.removeprefix("a"))(*inputs[1:], **named)
        found = function(*bared(inputs), **bared(named))
        return found if function in _BLANKS else bare(found)

    def __getitem__(self, key: Any) -> Any:
        return moved(lambda array: array[key], self)

    def __setitem__(self, key: Any, value: Any) -> None:
        before, source = node_of(self), node_of(value) if is_followed(value) else None
        bare(self)[key] = bare(value)

        def assigned(numbers: Any, *of: Any) -> Any:
            changed = numbers.copy()
            changed[key] = of[0] if of else -1
            return changed

        self.node = Moved(self, [before] if source is None else [before, source], assigned)

    @property
    def T(self) -> Any:
        return moved(lambda array: array.T, self)

    def tolist(self) -> Any:
        return bare(self).tolist()


def _move(name: str) -> Callable[..., Any]:
    def method(self: Traced, *inputs: Any, **named: Any) -> Any:
        return moved(lambda array: getattr(array, name)(*inputs, **named), self)

    method.__doc__ = f"As numpy's own ``{name}``; each cell still knows where it comes from."
    return method


for _name in ("take", "reshape", "transpose", "copy", "ravel", "flatten", "repeat", "squeeze", "swapaxes"):
    setattr(Traced, _name, _move(_name))


def _astype(self: Traced, *inputs: Any, **named: Any) -> Any:
    """The array as it is: what is traced are floats, whatever type is asked for."""
    return moved(lambda array: array, self)


setattr(Traced, "astype", _astype)  # noqa: B010


def is_followed(value: Any) -> bool:
    """Whether a value knows where it comes from."""
    return isinstance(value, Noted | Traced)


def bare(value: Any) -> Any:
    """The same figures, without where they come from."""
    if isinstance(value, Traced):
        return value.view(np.ndarray)
    return float(value) if isinstance(value, Noted) else value


def bared(values: Any) -> Any:
    """`bare`, within tuples, lists and dictionaries too."""
    if isinstance(values, tuple | list):
        return type(values)(bared(each) for each in values)
    if isinstance(values, dict):
        return {key: bared(each) for key, each in values.items()}
    return bare(values)


def plainly(value: Any) -> Any:
    """A dataclass or named tuple with none of its arrays and floats, at any depth, knowing where it comes from."""
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{each.name: plainly(getattr(value, each.name)) for each in fields(value)})
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return type(value)(*map(plainly, value))
    if isinstance(value, tuple):
        return tuple(map(plainly, value))
    return bare(value)


def node_of(value: Any) -> Node:
    """Where a value comes from; of a plain one, its figures alone."""
    found = value.node if isinstance(value, Noted | Traced) else None
    return Node(bare(value)) if found is None else found


def traced(value: Any, node: Node) -> Any:
    """An array or a float with where it comes from."""
    if np.ndim(value) == 0:
        return Noted(float(value), node)
    found = np.asarray(value, dtype=float).view(Traced)
    found.node = node
    return found


def moved(how: Callable[[Any], Any], value: Any) -> Any:
    """The figures of one array moved about."""
    found = how(bare(value))
    if getattr(found, "dtype", None) is not None and found.dtype.kind != "f":
        return found
    return traced(found, Moved(found, [node_of(value)], how))


def joined(how: Callable[[list[Any]], Any], parts: Sequence[Any]) -> Any:
    """The figures of many arrays joined."""
    found = how([bare(each) for each in parts])
    followed = [is_followed(each) for each in parts]
    if found.dtype.kind != "f" or not any(followed):
        return found

    def numbered(*numbers: Any) -> Any:
        of = iter(numbers)
        return how([next(of) if is_one else np.full(np.shape(each), -1)
                    for is_one, each in zip(followed, parts, strict=True)])

    return traced(found, Moved(found, [node_of(each) for each in parts if is_followed(each)], numbered))


def _where(condition: Any, yes: Any, no: Any) -> Any:
    return between(bare(condition), yes, no)


def between(condition: Any, yes: Any, no: Any, words: Any = "") -> Any:
    """One array where a condition holds, the other elsewhere; `words` say why, for a figure that is neither's."""
    found = np.where(condition, bare(yes), bare(no))
    if found.dtype.kind != "f":
        return found
    parts = [each for each in (yes, no) if is_followed(each)]

    def numbered(*numbers: Any) -> Any:
        of = iter(numbers)
        first = next(of) if is_followed(yes) else -1
        return np.where(condition, first, next(of) if is_followed(no) else -1)

    return traced(found, Moved(found, [node_of(each) for each in parts], numbered, words))


def _ufunc(ufunc: np.ufunc, method: str, inputs: tuple[Any, ...], named: dict[str, Any]) -> Any:
    out = named.pop("out", None)
    target = out[0] if out else None
    if method == "at":
        return _at(ufunc, *inputs)
    kept = node_of(target) if isinstance(target, Traced) and named.get("where") is not None else None
    if out:
        named["out"] = (bare(target),)
    parents = [node_of(each) for each in inputs[:ufunc.nin]] if method == "__call__" else [node_of(inputs[0])]
    found = getattr(ufunc, method)(*bared(inputs), **bared(named))
    if getattr(found, "dtype", np.dtype(float)).kind != "f":
        return found
    node = _made(ufunc, method, found, inputs, parents, named)
    if node is None:
        return found if target is None else target
    if kept is not None:
        mask = bare(named["where"])
        node = Moved(found, [node, kept], lambda new, old: np.where(mask, new, old))
    if target is not None:
        if isinstance(target, Traced):
            target.node = node
        return target
    return traced(found, node)


def _made(ufunc: np.ufunc, method: str, found: Any, inputs: tuple[Any, ...], parents: list[Node],
          named: dict[str, Any]) -> Node | None:
    if method == "__call__" and ufunc in _EXTREMES:
        return winner(found, parents)
    if method == "__call__" and ufunc is np.multiply:
        masks = [np.asarray(bare(each)).dtype.kind == "b" for each in inputs]
        if any(masks):
            mask, of = np.asarray(bare(inputs[masks.index(True)])), parents[1 - masks.index(True)]
            return Moved(found, [of], lambda numbers: np.where(mask, numbers, -1))
    if method == "__call__" and ufunc in _SIGNS:
        return Plain(found, _SIGNS[ufunc], parents)
    which = "sum" if ufunc is np.add else _EXTREMES.get(ufunc)
    if which is None or method not in ("reduce", "reduceat", "accumulate"):
        return None
    return Folded(found, which, folded_members(parents[0], found, method, bared(inputs), named))


def _at(ufunc: np.ufunc, target: Any, where: Any, values: Any = None) -> None:
    """`np.minimum.at` and the like: figures folded into an array in place."""
    before, of = node_of(target), node_of(values)
    getattr(ufunc, "at")(bare(target), where, bare(values))  # noqa: B009
    which = "sum" if ufunc is np.add else _EXTREMES.get(ufunc)
    if not isinstance(target, Traced) or which is None:
        return
    places = np.broadcast_to(np.arange(np.size(bare(target))).reshape(np.shape(target))[where], np.shape(values))
    places = places.reshape(-1)

    def members(cell: int) -> list[Ref]:
        return [(before, cell), *((of, int(each)) for each in np.flatnonzero(places == cell))]

    target.node = Folded(target, which, members)
