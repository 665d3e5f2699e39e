"""The figures of one feed or earth point."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from fuseplan.plan.model import Earth, Feed
from fuseplan.quantities.writing import EARTH_DROP
from fuseplan.results import short_circuit
from fuseplan.results.coil import CoilResult, coil_result
from fuseplan.results.fuse import FuseResult, fuse_result
from fuseplan.results.naming import condition_words
from fuseplan.results.part import Part, entry, figure, figure_of, part
from fuseplan.results.segment import SegmentResult, segment_results
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.results.solved_plan import SolvedPlan, known


def _largest(values: Iterable[float]) -> float:
    return max(values, key=abs)


def _all_known(choose: Callable[[Iterable[float]], float], values: Iterable[float]) -> float | None:
    """The value chosen; None where one of them is not known."""
    found = [float(each) for each in values]
    return None if any(map(math.isnan, found)) else choose(found)


class FeedInCondition(Part):
    """A feed in one condition."""

    owner: FeedResult
    row: int

    @property
    def called(self) -> str:
        return condition_words(self.owner.solved.results.network, self.row)

    @figure("voltage of the feed", unit="V", side="limit")
    def volts(self) -> float | None:
        results = self.owner.solved.results
        if not self.live:
            return 0.0
        if not results.known.supply_path[self.owner.node]:
            return None
        return known(results.solution.supply_v[self.row, self.owner.node])

    current_a = figure_of(lambda part: part.owner.solved.results.solution.supply_a[part.row, part.owner.node],
                          "current through the feed", unit="A", side="burden")

    @entry("the feed is live")
    def live(self) -> bool:
        network = self.owner.solved.results.network
        return bool(network.feed_live[self.owner.id][network.state[self.row]])

    @property
    def lowest_v(self) -> float | None:
        """Lowest voltage over every choice of which load of an `either` group is on [V]."""
        volts = self.volts
        if volts is None or not self.live:
            return volts
        return _all_known(min, (each.supply_v[self.row, self.owner.node] for each in self.owner.solved.results.choices))

    @property
    def largest_a(self) -> float | None:
        """Largest current over every such choice [A]."""
        return _all_known(_largest, (each.supply_a[self.row, self.owner.node]
                                     for each in self.owner.solved.results.choices))


class FeedResult(Part):
    """One feed; the root comes from nowhere."""

    solved: SolvedPlan
    feed_id: str

    @property
    def called(self) -> str:
        return f"feed {self.feed_id}"

    @property
    def feed(self) -> Feed | None:
        """As it stands in the plan; None for one that stands for the root."""
        return self.solved.plan.feed.get(self.feed_id)

    @property
    def node(self) -> int:
        """Its number in the tree of feeds."""
        return self.solved.results.network.feed_node[self.feed_id]

    @entry("name in the plan")
    def id(self) -> str:
        return self.feed_id

    @entry("name in words")
    def name(self) -> str | None:
        return self.feed.name if self.feed else None

    @entry("the feed it comes from", key="from")
    def upstream(self) -> str | None:
        return self.feed.upstream if self.feed else None

    @figure("resistance from the feed it comes from, hottest", unit="ohm", side="burden", from_network=True)
    def resistance_ohm(self) -> float | None:
        results = self.solved.results
        if not results.known.supply[self.node]:
            return None
        return known(results.entered(results.solution.supply_ohm)[:, self.node].max())

    @part("the feed in each condition")
    def in_condition(self) -> Mapping[str, FeedInCondition]:
        return {name: FeedInCondition(self, row) for row, name in enumerate(self.solved.condition_ids)}

    @part("its fuse, breaker or link")
    def fuse(self) -> FuseResult | None:
        return fuse_result(self.solved, ("feed", self.feed_id))

    @part("its wires")
    def segments(self) -> tuple[SegmentResult, ...]:
        return segment_results(self.solved, ("feed", self.feed_id))

    @part("the coil of its relay")
    def coil(self) -> CoilResult | None:
        return None if self.feed is None else coil_result(self.solved, ("feed", self.feed_id), self.feed.relay)

    @part("short circuit")
    def fault(self) -> ShortCircuit:
        return short_circuit.of_feed(self.solved, self.feed_id)

    @property
    def is_unfused(self) -> bool:
        """No fuse of its own or upstream protects the wire to it; never the battery post itself."""
        return self.feed is not None and bool(self.feed.wire) and int(self.solved.results.network.guard[self.node]) < 0


class EarthInCondition(Part):
    """An earth point in one condition."""

    owner: EarthResult
    row: int

    @property
    def called(self) -> str:
        return condition_words(self.owner.solved.results.network, self.row)

    @figure("earth drop: voltage between it and the battery's earthed post", unit="V", side="burden",
            written=EARTH_DROP)
    def volts(self) -> float | None:
        results = self.owner.solved.results
        if not results.known.return_path[self.owner.node]:
            return None
        return known(results.solution.return_v[self.row, self.owner.node])

    current_a = figure_of(lambda part: part.owner.solved.results.solution.return_a[part.row, part.owner.node],
                          "current towards the battery", unit="A", side="burden")

    @property
    def highest_v(self) -> float | None:
        """Voltage farthest from 0 over every choice of which load of an `either` group is on [V]."""
        if self.volts is None:
            return None
        return _all_known(_largest, (each.return_v[self.row, self.owner.node]
                                     for each in self.owner.solved.results.choices))

    @property
    def largest_a(self) -> float | None:
        """Largest current over every such choice [A]."""
        return _all_known(_largest, (each.return_a[self.row, self.owner.node]
                                     for each in self.owner.solved.results.choices))


class EarthResult(Part):
    """One earth point; the root leads nowhere."""

    solved: SolvedPlan
    earth_id: str

    @property
    def called(self) -> str:
        return f"earth {self.earth_id}"

    @property
    def earth(self) -> Earth | None:
        """As it stands in the plan; None for one that stands for the root."""
        return self.solved.plan.earth.get(self.earth_id)

    @property
    def node(self) -> int:
        """Its number in the tree of earths."""
        return self.solved.results.network.earth_node[self.earth_id]

    @entry("name in the plan")
    def id(self) -> str:
        return self.earth_id

    @entry("name in words")
    def name(self) -> str | None:
        return self.earth.name if self.earth else None

    @entry("the earth point it leads to", key="to")
    def upstream(self) -> str | None:
        return self.earth.upstream if self.earth else None

    @figure("resistance to the earth point it leads to, hottest", unit="ohm", side="burden", from_network=True)
    def resistance_ohm(self) -> float | None:
        results = self.solved.results
        if not results.known.returns[self.node]:
            return None
        return known(results.entered(results.solution.return_ohm)[:, self.node].max())

    @part("the earth point in each condition")
    def in_condition(self) -> Mapping[str, EarthInCondition]:
        return {name: EarthInCondition(self, row) for row, name in enumerate(self.solved.condition_ids)}

    @part("its wires")
    def segments(self) -> tuple[SegmentResult, ...]:
        return segment_results(self.solved, ("earth", self.earth_id))
