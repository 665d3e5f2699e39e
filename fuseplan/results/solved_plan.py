"""A solved plan and which numbers of its arrays belong to which part: what every part of the result is taken from."""

from __future__ import annotations

import math
from collections import defaultdict
from functools import cached_property

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.computing import compute
from fuseplan.engine.consumers import COIL
from fuseplan.engine.missing import Missing
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import Pair
from fuseplan.limits import LimitSet
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.model import Plan
from fuseplan.records import dataclass
from fuseplan.trace import record

Owner = tuple[str, str]
"""Kind and name of a part of the plan: ``("circuit", "fan")``; the alternator's name is empty."""


def known(value: float) -> float | None:
    """None for NaN and infinities."""
    number = float(value)
    return number if math.isfinite(number) else None


@dataclass(frozen=True, eq=False)
class SolvedPlan:
    """Arrays of one plan under one set of limits, with the numbers of each part's devices, wires and consumers."""

    results: Results

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.results.plan

    @property
    def limit_set(self) -> LimitSet:
        """The set of limits it was solved with."""
        return self.results.limit_set

    @cached_property
    def recorded(self) -> Results:
        """The same plan computed once more with recording on: its arrays know how each figure came about."""
        with record():
            return compute(self.plan, self.limit_set)

    @property
    def condition_ids(self) -> tuple[str, ...]:
        """Ids of the conditions, in the order of the arrays."""
        return self.results.network.condition_ids

    @property
    def segment_limits(self) -> Floats:
        """Ampacity of each segment in the worst condition in which it carries current (S,)."""
        return self.results.segment_limit_a

    def lacks(self, circuit: str) -> tuple[Missing, ...]:
        """What a circuit lacks for its figures."""
        return self.results.network.missing.get(circuit, ())

    @cached_property
    def circuit_index(self) -> dict[str, int]:
        """Number of each circuit."""
        return {name: index for index, name in enumerate(self.results.network.circuit_ids)}

    @cached_property
    def segments_of(self) -> dict[Owner, list[int]]:
        """Numbers of the segments of each circuit, feed, earth and of the alternator, those of its relay's coil not
        among them."""
        return self._segments(coil=False)

    @cached_property
    def coil_segments_of(self) -> dict[Owner, list[int]]:
        """Numbers of the segments of the coil wires of each circuit or feed that has any."""
        return self._segments(coil=True)

    def _segments(self, coil: bool) -> dict[Owner, list[int]]:
        segments = self.results.network.segments
        found: dict[Owner, list[int]] = defaultdict(list)
        for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True)):
            if is_coil_wire(place) == coil:
                found[owner].append(index)
        return found

    @cached_property
    def consumers_of(self) -> dict[int, list[int]]:
        """Numbers of the load consumers of each circuit, by the circuit's number, in the order of its loads."""
        consumers = self.results.network.consumers
        found: dict[int, list[int]] = defaultdict(list)
        for index, (circuit, kind) in enumerate(zip(consumers.circuit.tolist(), consumers.kind.tolist(), strict=True)):
            if circuit >= 0 and kind == 0:
                found[circuit].append(index)
        return found

    @cached_property
    def coil_of(self) -> dict[Owner, int]:
        """Number of the consumer that is the coil of each part's relay."""
        consumers = self.results.network.consumers
        return {consumers.owner[index]: index for index in np.flatnonzero(consumers.kind == COIL).tolist()}

    @cached_property
    def pair_of(self) -> dict[int, Pair]:
        """Each protective device against the one above it, by the number of the lower."""
        return {pair.lower: pair for pair in self.results.pairs}

    @cached_property
    def fuse_of(self) -> dict[Owner, int]:
        """Number of the protective device of each owner that has one."""
        return {row.owner: index for index, row in enumerate(self.results.network.fuses)}
