"""Where each figure of the result is: its address is its path in the result document.

Elements of a list that have an id are addressed by it, others by their number from 0:
``circuits.fuel_pump.segments.0.ampacity_a``. A step that holds a dot stands in quotation marks.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from fuseplan.records import dataclass
from fuseplan.results.part import Declaration, Figure, Nested, Part, nested

Value = float | int | str | bool | None
_STEP = re.compile(r'"((?:[^"\\]|\\.)*)"|([^."]+)')


def joined(steps: Iterable[str]) -> str:
    """An address from its steps."""
    return ".".join(_quoted(each) if "." in each or '"' in each or not each else each for each in steps)


def _quoted(step: str) -> str:
    return '"' + step.replace("\\", "\\\\").replace('"', '\\"') + '"'


def split(address: str) -> list[str]:
    """The steps of an address; an address that is none comes back as it is, as one step."""
    found, at = [], 0
    while match := _STEP.match(address, at):
        found.append(re.sub(r"\\(.)", r"\1", match[1]) if match[1] is not None else match[2])
        at = match.end()
        if at == len(address):
            return found
        if address[at] != ".":
            break
        at += 1
    return [address]


@dataclass(frozen=True)
class Spot:
    """A place in the result: a part or one of its declarations, with its address."""

    steps: tuple[str, ...]
    part: Part
    names: tuple[str, ...] = ()
    """What the parts around it are called, from outside in."""
    words: str = ""

    @property
    def address(self) -> str:
        """Its address in the result document."""
        return joined(self.steps)

    @property
    def of(self) -> str:
        """What it belongs to, in words: ``Fuel pump wire 1``."""
        return " ".join(self.names)


@dataclass(frozen=True)
class FigureSpot(Spot):
    """One declared value, or one number of a list; worked out when it is looked at."""

    declaration: Declaration[Any] | None = None
    number: int = -1
    """Number in the list; -1 where it is none."""

    @property
    def value(self) -> Value:
        """The number, None where it is not known."""
        assert self.declaration is not None
        found: Any = self.declaration.fget(self.part)
        value: Value = found if self.number < 0 else found[self.number]
        return value

    @property
    def unit(self) -> str:
        """Unit it is worked in."""
        return self.declaration.unit if isinstance(self.declaration, Figure) else "-"

    @property
    def from_network(self) -> bool:
        """It rests on the solved network."""
        return isinstance(self.declaration, Figure) and self.declaration.from_network

    @property
    def text(self) -> str:
        """As it is written everywhere."""
        value: Any = self.value
        if value is None:
            return "unknown"
        if isinstance(self.declaration, Figure) and isinstance(value, (int, float)):
            return self.declaration.written(value)
        if isinstance(value, tuple):
            records = [each for each in value if not isinstance(each, str)]
            return f"{len(records)}, told by fuseplan check PLAN --full" if records else "; ".join(value) or "none"
        return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)

    @property
    def whole_words(self) -> str:
        """What it is and of what, in words: ``ampacity, Fuel pump wire 1``."""
        return f"{self.words}, {self.of}" if self.names else self.words


def root(part: Part) -> Spot:
    """The whole result."""
    return Spot((), part)


def inside(spot: Spot) -> Iterator[Spot]:
    """The parts directly inside a part."""
    for declaration in spot.part.declared:
        if isinstance(declaration, Nested):
            yield from _members(spot, declaration)


def _members(spot: Spot, declaration: Nested[Any]) -> Iterator[Spot]:
    for step, found in nested(declaration.fget(spot.part)):
        called = found.called
        yield Spot((*spot.steps, declaration.key, *([step] if step else [])), found,
                   (*spot.names, called) if called else spot.names, declaration.words)


def own(spot: Spot, wanted: Container[Figure[Any]] | None = None) -> Iterator[FigureSpot]:
    """The figures of a part itself, all or those of the declarations wanted; each number of a list is one."""
    for declaration in spot.part.declared:
        if isinstance(declaration, Figure) and (wanted is None or declaration in wanted):
            yield from _numbers(spot, declaration)


def _numbers(spot: Spot, declaration: Figure[Any]) -> Iterator[FigureSpot]:
    at = FigureSpot((*spot.steps, declaration.key), spot.part, spot.names, declaration.words, declaration)
    if declaration.each is None:
        yield at
        return
    for number, words in enumerate(declaration.each(spot.part)):
        yield replace(at, steps=(*at.steps, str(number)), words=f"{at.words} {words}", number=number)


def figures(spot: Spot, wanted: Container[Figure[Any]] | None = None) -> Iterator[FigureSpot]:
    """The figures of a part and of the parts inside it, in the order of the document: all, or those of the declarations
    wanted."""
    yield from own(spot, wanted)
    for each in inside(spot):
        yield from figures(each, wanted)


def parts(spot: Spot) -> Iterator[Spot]:
    """All parts inside a part, at any depth."""
    for each in inside(spot):
        yield each
        yield from parts(each)


@dataclass(frozen=True)
class Group(Spot):
    """Several parts under one key: the circuits, the wires of a circuit."""

    members: tuple[Spot, ...] = ()


def find(spot: Spot, address: str) -> Spot | None:
    """What stands at an address inside a part; None where nothing does.

    A range of two may be addressed by number too (``range_a.0``), and an id with dots without quotation marks.
    """
    return _find(spot, split(address))


def _find(spot: Spot, steps: Sequence[str]) -> Spot | None:
    if not steps:
        return spot
    declaration = _declared(spot.part, steps[0])
    if isinstance(declaration, Nested):
        value = declaration.fget(spot.part)
        if isinstance(value, Part):
            return _find(next(_members(spot, declaration)), steps[1:])
        members = _by_name(spot, declaration)
        if len(steps) == 1:
            return Group((*spot.steps, declaration.key), spot.part, spot.names, declaration.words,
                         tuple(members.values()))
        return _member(members, steps[1:])
    if declaration is None:
        return None
    at = FigureSpot((*spot.steps, declaration.key), spot.part, spot.names, declaration.words, declaration)
    if isinstance(declaration, Figure) and declaration.each is not None:
        return next((each for each in _numbers(spot, declaration) if list(each.steps[-1:]) == list(steps[1:])), None)
    return at if len(steps) == 1 else None


def _declared(part: Part, step: str) -> Declaration[Any] | None:
    if part.is_array and step.isdecimal() and int(step) < len(part.declared):
        return part.declared[int(step)]
    return next((each for each in part.declared if each.key == step), None)


def _by_name(spot: Spot, declaration: Nested[Any]) -> dict[str, Spot]:
    """The parts under one key by the step that leads to each. A part never changes, so they are gathered once: many
    addresses are asked for."""
    gathered: dict[str, dict[str, Spot]] = spot.part.__dict__.setdefault("_gathered", {})
    if declaration.key not in gathered:
        gathered[declaration.key] = {each.steps[-1]: each for each in _members(spot, declaration)}
    return gathered[declaration.key]


def _member(members: Mapping[str, Spot], steps: Sequence[str]) -> Spot | None:
    """By id, the longest that fits, else by number."""
    for count in range(len(steps), 0, -1):
        name = ".".join(steps[:count])
        if name in members:
            return _find(members[name], steps[count:])
    if steps[0].isdecimal() and int(steps[0]) < len(members):
        return _find(list(members.values())[int(steps[0])], steps[1:])
    return None
