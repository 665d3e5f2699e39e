"""What a diagnosis takes and what it says, as records."""

from __future__ import annotations

from dataclasses import dataclass

from fuseplan.bench.diagnosis_fault import Fault
from fuseplan.bench.points import Point


@dataclass(frozen=True)
class Taken:
    """One reading: its point, the condition it was taken in, its value in V, A or ohm, its meter."""

    point: Point
    condition: str
    value: float
    instrument: str | None = None


@dataclass(frozen=True)
class Evidence:
    """One reading held against a fault. Figures in V, A or ohm."""

    point: Point
    condition: str
    read: float
    healthy: float
    """What a car in good order shows, and one standard deviation of it."""
    healthy_spread: float
    with_fault: float
    """What it shows with the fault, its size and all that is not known exactly fitted to the readings."""


@dataclass(frozen=True)
class Suspect:
    """One fault in the order of how probable it is."""

    fault: Fault
    weight: float
    """Share of all weight, 0 to 1."""
    size: float | None
    """In ohm, as a multiple of the planned current, or in V; None where it has none."""
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True)
class NextReading:
    """The reading that tells most."""

    point: Point
    condition: str
    bits: float
    shows: tuple[tuple[Fault, float], ...]
    """What it would show for each of the first suspects, in V, A or ohm."""


@dataclass(frozen=True)
class Diagnosis:
    """What the readings of a circuit say."""

    circuit: str
    suspects: tuple[Suspect, ...]
    settled: bool
    """The first suspect is all but certain."""
    next: NextReading | None
    """None where nothing that can be read tells the suspects apart."""
    unused: tuple[Taken, ...]
    """Readings that say nothing about this circuit, or that the network does not tell."""

    @property
    def alike(self) -> tuple[Suspect, ...]:
        """The suspects no reading tells apart: the first, and those nearly as probable."""
        first = self.suspects[0].weight
        return tuple(each for each in self.suspects if each.weight >= 0.2 * first)
