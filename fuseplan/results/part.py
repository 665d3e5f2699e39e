"""The vocabulary of the result: what a part of it declares, once, where the figure is taken from the arrays.

    class FuseRange(Part):
        @figure("smallest fuse for the load", unit="A", side="burden")
        def low(self) -> float | None: ...

A declaration is a property: it is worked out when it is looked at. Its name is its key in the result document, its
annotation the type there; document, JSON Schema, addresses, texts and the headings of workings are derived from it by
`fuseplan.results.document`, `schema` and `address`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, Generic, NoReturn, Self, TypeVar, dataclass_transform, overload

from fuseplan.quantities.decimals import Side
from fuseplan.quantities.writing import Kind

T = TypeVar("T")
Written = Callable[[float], str]

if TYPE_CHECKING:
    class _Lazy(Generic[T]):
        fget: Callable[[Any], T]

        def __init__(self, fget: Callable[[Any], T]) -> None: ...

        @overload
        def __get__(self, part: None, owner: type) -> Self: ...

        @overload
        def __get__(self, part: object, owner: type) -> T: ...

        def __get__(self, part: Any, owner: type) -> Any: ...
else:
    class _Lazy(property):
        def __class_getitem__(cls, _: object) -> type:
            return cls


class Declaration(_Lazy[T]):
    """What every declaration of a part has: its key in the document and what it is in words."""

    key: str = ""
    words: str = ""

    def __set_name__(self, owner: type, name: str) -> None:
        self.key = self.key or name
        self.owner = owner.__name__

    def __repr__(self) -> str:
        return f"{getattr(self, 'owner', '?')}.{self.key}"


class Entry(Declaration[T]):
    """A text, a flag, a count, a list of names: whatever is no figure."""


class Figure(Declaration[T]):
    """A number, or a list of numbers of one kind, with its unit and how it is written."""

    unit: str = ""
    """Unit it is worked in; "share" for a ratio written in percent, "-" for a bare number."""
    written: Written
    """How it is written wherever it stands."""
    side: Side = "burden"
    from_network: bool = False
    """It rests on the solved network: a working closes to within the solver's own tolerance."""
    each: Callable[[Any], Iterable[str]] | None = None
    """For a list: what each number is of, in words."""


class Nested(Declaration[T]):
    """A part of a part: one, none, several in an order, or several by name."""


@dataclass_transform(frozen_default=True)
class Part:
    """A piece of the result. Subclasses declare; what they declare is inherited, the base's first. Nested parts follow
    what is plain. What it is taken from are its annotated fields, given as to a frozen dataclass: none of their code is
    written anew for each class, which would cost every start of the program some milliseconds.

    ``array=True`` makes its document a list of its values in the order declared; each keeps its own name in an address.
    """

    declared: ClassVar[tuple[Declaration[Any], ...]] = ()
    is_array: ClassVar[bool] = False
    _fields: ClassVar[tuple[str, ...]] = ()

    def __init_subclass__(cls, array: bool = False, **more: Any) -> None:
        super().__init_subclass__(**more)
        cls.is_array = array or cls.is_array
        cls._fields = tuple(dict.fromkeys((*cls._fields, *vars(cls).get("__annotations__", ()))))
        found = {each.key: each for each in cls.declared}
        found |= {each.key: each for each in vars(cls).values() if isinstance(each, Declaration)}
        cls.declared = tuple(sorted(found.values(), key=lambda each: isinstance(each, Nested)))

    if not TYPE_CHECKING:
        def __init__(self, *values: Any, **named: Any) -> None:
            self.__dict__.update(zip(self._fields, values, strict=False), **named)

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise AttributeError(f"a {type(self).__name__} never changes")

    @property
    def called(self) -> str:
        """What it is called beside a figure of it, ``wire 1``; nothing where the figure says enough."""
        return ""


def entry(words: str, *, key: str = "") -> Callable[[Callable[[Any], T]], Entry[T]]:
    """Declare a text, a flag, a count or a list of them."""
    def declare(get: Callable[[Any], T]) -> Entry[T]:
        return _named(Entry(get), words, key)

    return declare


def part(words: str, *, key: str = "") -> Callable[[Callable[[Any], T]], Nested[T]]:
    """Declare a nested part, a sequence of parts, or parts by name; None where there is none."""
    def declare(get: Callable[[Any], T]) -> Nested[T]:
        return _named(Nested(get), words, key)

    return declare


def figure(words: str, *, unit: str, side: Side, written: Written | None = None, from_network: bool = False,
           key: str = "", each: Callable[[Any], Iterable[str]] | None = None
           ) -> Callable[[Callable[[Any], T]], Figure[T]]:
    """Declare a figure.

    Args:
        words: what it is, in the middle of a sentence, without the name of its part
        unit: unit it is worked in, an SI unit that also ends its key: "A", "V", "ohm", "share", "-"
        side: {"burden", "limit", "balance", "stated"}. Whether more of it is worse, or less: which way it is rounded.
        written: how it is written; by its unit and side where left out
        from_network: it rests on the solved network
        key: its key where that is no name of Python's
        each: for a list of numbers, a function from the part to what each is of, in words
    """
    def declare(get: Callable[[Any], T]) -> Figure[T]:
        found = _named(Figure(get), words, key)
        found.unit, found.side, found.written = unit, side, written or Kind(unit, side)
        found.from_network, found.each = from_network, each
        return found

    return declare


def figure_of(get: Callable[[Any], float | None], words: str, *, unit: str, side: Side, written: Written | None = None,
              from_network: bool = False, key: str = "") -> Figure[float | None]:
    """Declare a figure that is taken as it stands, in one line; what is no finite number is not known.

        drop_v = figure_of(lambda part: part.facts.drop_v[0], "voltage it loses", unit="V", side="burden")
    """
    def finite(part: Any) -> float | None:
        value = get(part)
        return None if value is None or not math.isfinite(value) else float(value)

    return figure(words, unit=unit, side=side, written=written, from_network=from_network, key=key)(finite)


def fact(words: str, *, unit: str, side: Side, written: Written | None = None, from_network: bool = False
         ) -> Figure[float | None]:
    """Declare a figure that the part's facts hold under its own name; of an array, that at the part's place in it."""
    def held(part: Any) -> Any:
        found = getattr(part.facts, declared.key)
        return found[part.index] if getattr(found, "ndim", 0) else found

    declared = figure_of(held, words, unit=unit, side=side, written=written, from_network=from_network)
    return declared


def entry_of(get: Callable[[Any], T], kind: Any, words: str) -> Entry[T]:
    """Declare a text or a flag of that kind that is taken as it stands, in one line."""
    def plain(part: Any) -> T:
        return get(part)

    plain.__annotations__["return"] = kind
    return entry(words)(plain)


_D = TypeVar("_D", bound="Declaration[Any]")


def _named(found: _D, words: str, key: str) -> _D:
    found.words, found.key = words, key
    return found


def nested(value: Any) -> Iterable[tuple[str, Part]]:
    """(step of an address, part) of what a `Nested` holds: nothing for None, no step for a single part."""
    if value is None:
        return
    if isinstance(value, Part):
        yield "", value
    elif isinstance(value, Mapping):
        yield from ((name, each) for name, each in value.items() if each is not None)
    else:
        for number, each in enumerate(value):
            yield (each.id if hasattr(type(each), "id") else str(number)), each
