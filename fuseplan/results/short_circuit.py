"""What a short circuit does on a circuit, on a feed, or behind one protective device."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from fuseplan.engine.clearing import greatest_time_s
from fuseplan.engine.selectivity import Order, Pair
from fuseplan.engine.short_heating import survives
from fuseplan.results.part import Part, entry, figure
from fuseplan.results.solved_plan import Owner, SolvedPlan, known


class ShortCircuit(Part):
    """A short circuit right behind the fuse and at the far end; null for what nothing on file answers."""

    solved: SolvedPlan
    owner: Owner
    device: int
    """Number of the device that protects it, its own or one upstream; -1 without one."""
    own: int
    """Number of its own device; -1 without one."""
    far_a: float
    """Current of a short at the far end [A]; NaN where not known."""
    clearing_s: float
    """Longest its device may take for that [s]; infinite where it may never clear it, NaN where nothing is on file."""
    segments: tuple[int, ...]
    """Numbers of the wires that have to survive it."""
    is_known: bool = True
    """Nothing it rests on is missing."""

    @figure("prospective short-circuit current at the fuse", unit="A", side="burden")
    def prospective_a(self) -> float | None:
        if self.own < 0 or not self.is_known:
            return None
        return known(self.solved.results.faults.prospective_a[self.own])

    @figure("short-circuit current at the far end", unit="A", side="limit")
    def far_end_a(self) -> float | None:
        return known(self.far_a) if self.is_known else None

    @figure("maximum clearing time of that short", unit="s", side="burden")
    def max_clearing_s(self) -> float | None:
        return known(self.clearing_s) if self.is_known else None

    @entry("its wires survive it")
    def wire_survives(self) -> bool | None:
        if not self.is_known:
            return None
        answers = [survives(self.solved.results.faults, index) for index in self.segments]
        if False in answers:
            return False
        return None if not answers or None in answers else True

    @entry("the fuse may never blow on a short at the far end")
    def may_never_clear(self) -> bool | None:
        return math.isinf(self.clearing_s) if self.is_known and not math.isnan(self.clearing_s) else None

    @entry("time-current limits of the fuse are published")
    def curve_on_file(self) -> bool | None:
        return not math.isnan(self.clearing_s) and not self.clearing_is_stated if self.is_known else None

    @property
    def clearing_is_stated(self) -> bool:
        """Its clearing time is in no table: it follows from what the plan states of its maker's sheet."""
        if self.device < 0 or not math.isfinite(self.far_a):
            return False
        results = self.solved.results
        rating = float(results.fusing.rating_a[self.device])
        printed = greatest_time_s(results.network.fuses[self.device].fuse.kind, rating, np.array([self.far_a]))
        return not math.isnan(self.clearing_s) and bool(np.isnan(printed[0]))

    @entry("whether it clears before the device upstream; null where there is none")
    def selectivity(self) -> Order | None:
        return None if self.pair is None else self.pair.answer

    @figure("fault current from which on it is not selective, or nothing is on file", unit="A", side="limit")
    def selective_up_to_a(self) -> float | None:
        return None if self.pair is None else known(self.pair.from_a)

    @property
    def pair(self) -> Pair | None:
        """Its device against the one upstream; None where there is none."""
        return self.solved.pair_of.get(self.device) if self.is_known else None

    @property
    def upstream(self) -> int:
        """Number of the device upstream of its own; -1 without one."""
        return -1 if self.pair is None else self.pair.upper


def of_circuit(solved: SolvedPlan, number: int, segments: Iterable[int], is_known: bool) -> ShortCircuit:
    """Short circuits of a circuit; what rests on a resistance that is not known is NaN."""
    results = solved.results
    network, faults = results.network, results.faults
    owner = ("circuit", network.circuit_ids[number])
    own = solved.fuse_of.get(owner, -1)
    whole = bool(results.known.circuit[number])
    return ShortCircuit(
        solved, owner, device=int(network.guard[network.circuit_node[number]]), own=own,
        far_a=float(faults.circuit_far_a[number]) if whole else math.nan,
        clearing_s=float(faults.circuit_opens_s[number]) if whole else math.nan,
        segments=tuple(segments), is_known=is_known)


def of_feed(solved: SolvedPlan, feed: str) -> ShortCircuit:
    """Short circuits of a feed, to the body beside it."""
    results = solved.results
    network, faults = results.network, results.faults
    owner = ("feed", feed)
    own, node = solved.fuse_of.get(owner, -1), network.feed_node[feed]
    device = int(network.guard[node])
    far = clearing = math.nan
    if results.known.supply_path[node]:
        far = faults.feed_far_a[feed] if own < 0 else float(faults.fuse_far_a[own])
        clearing = results.opens_s(device, far)
    return ShortCircuit(solved, owner, device=device, own=own, far_a=far, clearing_s=clearing,
                        segments=tuple(solved.segments_of.get(owner, ())))


def of_devices(solved: SolvedPlan) -> list[ShortCircuit]:
    """Short circuits of every protective device over all it protects, in the order of their numbers."""
    network, faults = solved.results.network, solved.results.faults
    protected: dict[int, list[int]] = {}
    for index, device in enumerate(network.segment_guard.tolist()):
        protected.setdefault(device, []).append(index)
    return [ShortCircuit(solved, row.owner, device=index, own=index, far_a=float(faults.fuse_far_a[index]),
                         clearing_s=float(faults.fuse_opens_s[index]), segments=tuple(protected.get(index, ())))
            for index, row in enumerate(network.fuses)]
