"""The coil of a relay: what it draws and has, and the wires to its terminals 86 and 85."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.plan.parts import Relay
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.segment import SegmentResult, coil_segments
from fuseplan.results.solved_plan import Owner, SolvedPlan, known


class CoilResult(Part):
    """The coil of the relay of a circuit or a feed."""

    solved: SolvedPlan
    owner: Owner
    relay: Relay

    @property
    def called(self) -> str:
        return "relay coil"

    @property
    def consumer(self) -> int:
        """Its number among the consumers."""
        return self.solved.coil_of[self.owner]

    @property
    def rows(self) -> list[int]:
        """Numbers of the conditions in which it is driven and for which the network has an answer."""
        results = self.solved.results
        on = results.network.consumers.possible[:, self.consumer]
        return np.flatnonzero(on & ~np.isnan(results.entered(results.solution.root_v))).tolist()

    @entry("feed of the coil")
    def feed(self) -> str:
        return self.relay.coil_feed

    @figure("coil current, largest", unit="A", side="burden", from_network=True)
    def current_a(self) -> float | None:
        found = self.solved.results.solution.consumer_a[self.rows, self.consumer]
        return known(found.max()) if len(found) and self.solved.results.known.consumer[self.consumer] else None

    @figure("lowest voltage across the coil", unit="V", side="limit", from_network=True)
    def volts(self) -> float | None:
        found = self.solved.results.solution.across_v[self.rows, self.consumer]
        return known(found.min()) if len(found) and self.solved.results.known.consumer[self.consumer] else None

    def in_condition(self, row: int) -> tuple[float | None, float | None]:
        """Voltage across it [V] and its current [A] in the condition of a number; None where not known or not driven
        there."""
        results = self.solved.results
        if row not in self.rows or not results.known.consumer[self.consumer]:
            return None, None
        return (known(results.solution.across_v[row, self.consumer]),
                known(results.solution.consumer_a[row, self.consumer]))

    @part("its wires; null where the plan has none")
    def wires(self) -> CoilWires | None:
        return CoilWires(self) if self.owner in self.solved.coil_segments_of else None

    @property
    def segments(self) -> tuple[SegmentResult, ...]:
        """Its wires, that to 86 first; empty where the plan has none."""
        return () if self.wires is None else self.wires.segments


class CoilWires(Part):
    """The wires of a relay's coil: to terminal 86, and from 85."""

    coil: CoilResult

    @property
    def solved(self) -> SolvedPlan:
        """The solved plan it belongs to."""
        return self.coil.solved

    @figure("short-circuit current at the terminals of the coil", unit="A", side="limit")
    def far_end_a(self) -> float | None:
        results, coil = self.solved.results, self.coil.consumer
        return known(results.far_ends.load_a[coil]) if results.known.consumer[coil] else None

    @figure("largest fuse that protects the thinnest coil wire", unit="A", side="limit")
    def largest_fuse_a(self) -> float | None:
        return None if self.weakest is None else known(self.solved.results.largest_fuse_a[self.weakest])

    @property
    def weakest(self) -> int | None:
        """Number of the segment that allows the smallest fuse; None where nothing is on file for one of them."""
        most = self.solved.results.largest_fuse_a
        own = self.solved.coil_segments_of[self.coil.owner]
        if any(math.isnan(float(most[index])) for index in own):
            return None
        return min(own, key=lambda index: float(most[index]))

    @part("its lengths of wire, that to 86 first")
    def segments(self) -> tuple[SegmentResult, ...]:
        return coil_segments(self.solved, self.coil.owner)


def coil_result(solved: SolvedPlan, owner: Owner, relay: Relay | None) -> CoilResult | None:
    """The coil of an owner's relay; None without one."""
    return None if relay is None or owner not in solved.coil_of else CoilResult(solved, owner, relay)
