"""Figures of one feed, earth point or condition, taken from the arrays when asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fuseplan.checks.views import FaultView, FuseView, SegmentView, fault_view, fuse_view, known, segment_views
from fuseplan.plan.model import Condition, Earth, Feed

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment
    from fuseplan.checks.rule import Finding


@dataclass(frozen=True)
class FeedView:
    """Figures of one feed."""

    assessment: Assessment
    id: str

    @property
    def feed(self) -> Feed | None:
        return self.assessment.plan.feed.get(self.id)

    @property
    def node(self) -> int:
        return self.assessment.results.network.feed_node[self.id]

    @property
    def resistance_ohm(self) -> float:
        """Of the way from the feed it comes from, in the condition where it is hottest; NaN where not known."""
        results = self.assessment.results
        if not results.known.supply[self.node]:
            return math.nan
        return float(results.entered(results.solution.supply_ohm)[:, self.node].max())

    @property
    def fuse(self) -> FuseView | None:
        return fuse_view(self.assessment, ("feed", self.id))

    @property
    def is_unfused(self) -> bool:
        """No fuse of its own or upstream protects the wire to it; never the battery post itself."""
        network = self.assessment.results.network
        return self.feed is not None and bool(self.feed.wire) and int(network.guard[network.feed_node[self.id]]) < 0

    @property
    def segments(self) -> tuple[SegmentView, ...]:
        return segment_views(self.assessment, ("feed", self.id))

    @property
    def fault(self) -> FaultView:
        return fault_view(self.assessment, ("feed", self.id))

    def demand_a(self, interval: int, corner: int = 0) -> float:
        return float(self.assessment.results.demands.supply[corner, interval, self.node])

    def in_condition(self, condition: int) -> tuple[float, float, bool]:
        """(volts, current in A, live); NaN V where a resistance on the way to it is not known."""
        results = self.assessment.results
        live = bool(results.network.feed_live[self.id][results.network.state[condition]])
        volts = float(results.solution.supply_v[condition, self.node]) if live else 0.0
        if live and not results.known.supply_path[self.node]:
            volts = math.nan
        return volts, float(results.solution.supply_a[condition, self.node]), live

    def worst_in_condition(self, condition: int) -> tuple[float, float, bool]:
        """(lowest volts, largest current in A, live) over every choice of which load of an `either` group is on."""
        choices = self.assessment.results.choices
        volts, _, live = self.in_condition(condition)
        if live and not math.isnan(volts):
            volts = min(float(each.supply_v[condition, self.node]) for each in choices)
        return volts, max((float(each.supply_a[condition, self.node]) for each in choices), key=abs), live

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.assessment.findings_for("feed", self.id)


@dataclass(frozen=True)
class EarthView:
    """Figures of one earth point."""

    assessment: Assessment
    id: str

    @property
    def earth(self) -> Earth | None:
        return self.assessment.plan.earth.get(self.id)

    @property
    def node(self) -> int:
        return self.assessment.results.network.earth_node[self.id]

    @property
    def resistance_ohm(self) -> float:
        """Of the way to the earth it leads to, hottest; NaN where not known."""
        results = self.assessment.results
        if not results.known.returns[self.node]:
            return math.nan
        return float(results.entered(results.solution.return_ohm)[:, self.node].max())

    @property
    def segments(self) -> tuple[SegmentView, ...]:
        return segment_views(self.assessment, ("earth", self.id))

    def in_condition(self, condition: int) -> tuple[float, float]:
        """(volts above battery negative, current in A towards the battery); NaN V where a resistance on the way is not
        known."""
        results = self.assessment.results
        volts = float(results.solution.return_v[condition, self.node])
        return (volts if results.known.return_path[self.node] else math.nan,
                float(results.solution.return_a[condition, self.node]))

    def worst_in_condition(self, condition: int) -> tuple[float, float]:
        """The same, the largest of each over every choice of which load of an `either` group is on."""
        choices = self.assessment.results.choices
        volts, _ = self.in_condition(condition)
        if not math.isnan(volts):
            volts = max((float(each.return_v[condition, self.node]) for each in choices), key=abs)
        return (volts,
                max((float(each.return_a[condition, self.node]) for each in choices), key=abs))

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.assessment.findings_for("earth", self.id)


@dataclass(frozen=True)
class ConditionView:
    """Figures of one condition."""

    assessment: Assessment
    index: int

    @property
    def id(self) -> str:
        return self.assessment.results.network.condition_ids[self.index]

    @property
    def condition(self) -> Condition:
        return self.assessment.results.network.conditions[self.index]

    @property
    def name(self) -> str:
        return self.condition.name or self.id

    @property
    def bus_v(self) -> float:
        """Battery post against battery negative with everything of the condition on at once."""
        return float(self.assessment.results.solution.root_v[self.index])

    @property
    def average_bus_v(self) -> float:
        """The same on average demand."""
        return float(self.assessment.results.balance.bus_v[0, self.index])

    @property
    def demand_a(self) -> float:
        return float(self.assessment.results.balance.demand_a[0, self.index])

    @property
    def peak_a(self) -> float:
        return float(self.assessment.results.balance.peak_a[0, self.index])

    @property
    def available_a(self) -> float:
        return float(self.assessment.results.balance.available_a[0, self.index])

    @property
    def balance_a(self) -> float:
        return float(self.assessment.results.balance.balance_a[0, self.index])

    @property
    def battery_a(self) -> float:
        return float(self.assessment.results.balance.battery_a[0, self.index])

    def told(self, current_a: float) -> float | None:
        """A current that rests on the alternator's output; None where that is not known."""
        return known(current_a) if self.assessment.results.balance_known(self.index) else None
