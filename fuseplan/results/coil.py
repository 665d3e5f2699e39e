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

    @figure("short-circuit current at its terminals", unit="A", side="limit")
    def far_end_a(self) -> float | None:
        if not self.segments or not self.solved.results.known.consumer[self.consumer]:
            return None
        return known(self.solved.results.far_ends.load_a[self.consumer])

    @figure("largest fuse that protects its thinnest wire", unit="A", side="limit")
    def largest_fuse_a(self) -> float | None:
        weakest = self.weakest
        return None if weakest is None else known(self.solved.results.largest_fuse_a[weakest])

    def in_condition(self, row: int) -> tuple[float | None, float | None]:
        """Voltage across it [V] and its current [A] in the condition of a number; None where not known or not driven
        there."""
        results = self.solved.results
        if row not in self.rows or not results.known.consumer[self.consumer]:
            return None, None
        return (known(results.solution.across_v[row, self.consumer]),
                known(results.solution.consumer_a[row, self.consumer]))

    @property
    def weakest(self) -> int | None:
        """Number of the segment that allows the smallest fuse; None without one, or where nothing is on file for one of
        them."""
        most = self.solved.results.largest_fuse_a
        own = self.solved.coil_segments_of.get(self.owner, [])
        if not own or any(math.isnan(float(most[index])) for index in own):
            return None
        return min(own, key=lambda index: float(most[index]))

    @property
    def guard(self) -> int:
        """Number of the device that protects its wires, -1 for none."""
        network = self.solved.results.network
        return int(network.guard[network.consumers.supply_node[self.consumer]])

    @part("its wires, that to 86 first")
    def segments(self) -> tuple[SegmentResult, ...]:
        return coil_segments(self.solved, self.owner)


def coil_result(solved: SolvedPlan, owner: Owner, relay: Relay | None) -> CoilResult | None:
    """The coil of an owner's relay; None without one."""
    return None if relay is None or owner not in solved.coil_of else CoilResult(solved, owner, relay)
