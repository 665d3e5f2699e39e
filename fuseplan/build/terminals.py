"""Terminals at the ends of wires: what is crimped on, and the force a crimp must hold."""

from __future__ import annotations

from functools import cache

from fuseplan.plan.parts import End
from fuseplan.records import dataclass
from fuseplan.tables.conductors import conductor, standard_sizes
from fuseplan.tables.load import Cited, Source
from fuseplan.tables.pullout import pull_out_n
from fuseplan.tables.terminals import TERMINALS, holders


@dataclass(frozen=True)
class Crimped:
    """What is crimped on an end. `part` is what a shop is asked for; empty where the plan does not say."""

    part: str
    words: str

    @property
    def known(self) -> bool:
        """Whether what is crimped on is known."""
        return bool(self.part)


def crimped(end: End | None, stud: str | None, size: str, instead: str, contact: str = "") -> Crimped:
    """The terminal at an end of a wire of a size in words; `stud` is that of the earth point it lands on, `contact`
    what its connector takes. `instead` says why none is fitted now, and is empty where one is."""
    if instead:
        return Crimped("", instead)
    named = None if end is None else end.terminal
    bolt = (None if end is None else end.stud) or stud
    if named is not None:
        words = TERMINALS.get(named, named.replace("_", " "))
        hole = f", hole for {bolt}" if bolt and named.startswith("ring") else ""
        return Crimped(f"{words}{hole}, for {size} wire", f"{named.replace('_', ' ')}{hole}")
    if bolt is not None:
        return Crimped(f"ring terminal, hole for {bolt}, for {size} wire", f"ring terminal {bolt}")
    if contact:
        return Crimped(f"{contact}, for {size} wire", contact)
    return Crimped("", "not stated")


def holder_words(name: str) -> str:
    """A single fuse holder in words; its name where it is not on file."""
    known = holders().get(name)
    return known.words if known is not None else f"holder {name.replace('_', ' ')}"


@dataclass(frozen=True)
class PullOut:
    """Least force in N a crimp must hold for a minute, of the next thinner printed gauge."""

    gauge: str
    commercial_n: float
    source: Source


@cache
def pull_out(area_mm2: float) -> PullOut | None:
    """The force for a wire; None for one thinner than any printed."""
    thinner = [gauge for gauge in standard_sizes("AWG")
               if conductor("AWG", gauge).area_mm2 <= area_mm2 * (1.0 + 1e-9) and pull_out_n(gauge) is not None]
    if not thinner:
        return None
    found: Cited[float] | None = pull_out_n(thinner[-1])
    assert found is not None
    return PullOut(thinner[-1], found.value, found.source)


def barrel_area_mm2(areas_mm2: tuple[float, ...]) -> float:
    """Area a barrel must take that several wires share: their sum; where no size is that, the next larger (NASA-STD-
    8739.4, 19.11 and 19.12)."""
    return sum(areas_mm2)
