"""The segments of a plan as arrays."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.marking import Marked
from fuseplan.limits import Rated
from fuseplan.plan.parts import Joint, Segment
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Segments:
    """All segments as arrays of length S, and (segment, section) pairs of length P."""

    branch: Ints
    """Branch on its side: supply node or return node whose branch the segment is part of."""
    returns: Flags
    owner: list[tuple[str, str]]
    place: list[str]
    segment: list[Segment]
    insulation: list[str]
    r20_ohm: Floats
    """Resistance of the whole section at 20 °C, 0 where unknown: the least it can be."""
    r20_known: Flags
    """Both its size and its length are known."""
    r20_ohm_per_m: Floats
    """Resistance per length at 20 °C, NaN where unknown."""
    length_m: Floats
    area_mm2: Floats
    diameter_mm: Floats
    base_a: Floats
    max_c: Floats
    rated: list[Rated | None]
    """What the limits say of each, None where they have nothing on file."""
    pair_factor: Floats
    """Ambient factor of each pair, shape (P,); NaN where the limits have nothing on file for that ambient."""
    pair_segment: Ints
    pair_run: Ints
    pair_table_a: Floats
    """Printed ampacity of each pair alone at the pair's ambient, shape (P,); 0 where the ambient is above the
    insulation's limit."""
    pair_single_a: Floats
    """The allowance in force: the printed one, or a heat balance that falls short of it by more than 15 %."""
    pair_base_a: Floats
    """The current that allowance is made from, shape (P,)."""
    pair_left: Floats
    """What ambient leaves of it, shape (P,)."""
    pair_ambient_c: Floats
    first_pair: Ints
    ambient_c: Floats
    """Ambient of the section with the lowest ampacity alone, shape (S,)."""
    marked: Marked
    """Numbers of the segments that have a "colour", a "label", a "number", a "joint", an "end", an "assumed_place", and
    a "taken_place": no zone of their own, and that of another part taken."""

    @property
    def hottest_c(self) -> Floats:
        """Ambient of the hottest section of each [°C], shape (S,)."""
        return np.maximum.reduceat(self.pair_ambient_c, self.first_pair) if self.count else np.zeros(0)

    @property
    def count(self) -> int:
        """Number of segments."""
        return len(self.branch)


def joints_of(segment: Segment) -> list[tuple[str, Joint]]:
    """The joints of a segment, each with the key that states its resistance."""
    own = [] if segment.joint is None else [("joint.resistance", segment.joint)]
    return [*own, *((f"splice.{number}.resistance", each) for number, each in enumerate(segment.splice))]
