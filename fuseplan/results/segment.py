"""A length of wire of one size and insulation."""

from __future__ import annotations

from typing import Literal

from fuseplan.engine.names import place_words
from fuseplan.engine.short_heating import survives
from fuseplan.engine.still_wire import DISAGREES
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.parts import Segment
from fuseplan.results.part import Part, entry, figure, figure_of
from fuseplan.results.solved_plan import Owner, SolvedPlan, known


class SegmentResult(Part):
    """One length of wire."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return place_words(self.place)

    @property
    def segment(self) -> Segment:
        """As it stands in the plan."""
        return self.solved.results.network.segments.segment[self.index]

    @property
    def _current_known(self) -> bool:
        return self.solved.results.network.segment_current_known(self.index)

    @entry("supply side or return side of the load")
    def side(self) -> Literal["supply", "return"]:
        return "return" if self.solved.results.network.segments.returns[self.index] else "supply"

    @entry("where it stands in its part of the plan")
    def place(self) -> str:
        return self.solved.results.network.segments.place[self.index]

    @entry("size as entered")
    def size(self) -> str | None:
        return None if self.segment.size is None else str(self.segment.size)

    @entry("colour of the insulation, as entered")
    def colour(self) -> str | None:
        return self.segment.colour

    @entry("where the wire comes from, as entered")
    def origin(self) -> str | None:
        return self.segment.origin

    size_mm2 = figure_of(lambda part: part.solved.results.network.segments.area_mm2[part.index],
                         "cross-section", unit="mm²", side="limit")
    length_m = figure_of(lambda part: part.solved.results.network.segments.length_m[part.index],
                         "length", unit="m", side="burden")

    @figure("resistance, hottest", unit="ohm", side="burden")
    def resistance_ohm(self) -> float | None:
        if self.length_m is None or self.size_mm2 is None:
            return None
        return known(self.solved.results.entered(self.solved.results.solution.segment_ohm)[:, self.index].max())

    ampacity_a = figure_of(lambda part: part.solved.segment_limits[part.index], "ampacity", unit="A", side="limit")

    @figure("continuous current", unit="A", side="burden")
    def current_a(self) -> float | None:
        return known(self.solved.results.demands.lasting[0, self.index]) if self._current_known else None

    @figure("temperature from a heat balance, at its continuous current", unit="°C", side="burden")
    def temperature_c(self) -> float | None:
        return known(self.solved.results.steady_c[self.index]) if self._current_known else None

    @figure("temperature from its ampacity by the square law, in its hottest condition", unit="°C", side="burden")
    def table_temperature_c(self) -> float | None:
        if not self._current_known:
            return None
        return known(self.solved.results.entered(self.solved.results.solution.segment_c)[:, self.index].max())

    table_ampacity_a = figure_of(lambda part: part.solved.results.table_ampacity_a[part.index],
                                 "ampacity in the table, alone at its ambient temperature", unit="A", side="limit")
    heat_balance_ampacity_a = figure_of(lambda part: part.solved.results.balance_ampacity_a[part.index],
                                        "ampacity from a heat balance, alone; never used to allow more than the table",
                                        unit="A", side="limit")
    fault_a = figure_of(lambda part: part.solved.results.faults.segment_fault_a[part.index],
                        "smallest short-circuit current through it", unit="A", side="limit")
    fault_temperature_c = figure_of(lambda part: part.solved.results.faults.segment_end_c[part.index],
                                    "highest conductor temperature before its fuse has cleared a short",
                                    unit="°C", side="burden")

    @entry("it survives a short circuit")
    def survives(self) -> bool | None:
        return survives(self.solved.results.faults, self.index)

    @entry("it is the wire that limits the fuse")
    def binding(self) -> bool:
        network = self.solved.results.network
        fuse = int(network.segment_guard[self.index]) if is_coil_wire(self.place) else \
            self.solved.fuse_of.get(network.segments.owner[self.index], -1)
        return fuse >= 0 and int(self.solved.results.fusing.binding[fuse]) == self.index

    @entry("insulation")
    def insulation(self) -> str:
        return self.solved.results.network.segments.insulation[self.index]

    @figure("ambient temperature", unit="°C", side="burden")
    def ambient_c(self) -> float:
        return float(self.solved.results.network.segments.ambient_c[self.index])

    @figure("most conductors that carry current together in its run", unit="-", side="stated")
    def conductors(self) -> int:
        return int(self.solved.results.solution.loaded[:, self.index].max())

    @property
    def heat_balance_over_table(self) -> float | None:
        """Ampacity from the heat balance over that in the table, both for the wire alone."""
        if not self.table_ampacity_a or self.heat_balance_ampacity_a is None:
            return None
        return self.heat_balance_ampacity_a / self.table_ampacity_a

    @property
    def disagrees(self) -> bool:
        """Heat balance and table differ by more than 15 %."""
        share = self.heat_balance_over_table
        return share is not None and abs(share - 1.0) > DISAGREES


def segment_results(solved: SolvedPlan, owner: Owner) -> tuple[SegmentResult, ...]:
    """The segments of an owner, supply side first."""
    return tuple(SegmentResult(solved, index) for index in solved.segments_of.get(owner, ()))


def coil_segments(solved: SolvedPlan, owner: Owner) -> tuple[SegmentResult, ...]:
    """The segments of the coil wires of an owner's relay, that to 86 first."""
    return tuple(SegmentResult(solved, index) for index in solved.coil_segments_of.get(owner, ()))
