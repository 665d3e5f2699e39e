"""The loads of the power report: those of one condition one by one, and the load analysis over all conditions."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.engine.loads_table import Detail, LoadLine, Total
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.solved_plan import SolvedPlan, known


class LoadInCondition(Part):
    """One load of the condition that is set out load by load."""

    facts: Detail

    @entry("kind of part it belongs to")
    def owner_kind(self) -> str:
        return self.facts.owner[0]

    @entry("the part it belongs to")
    def owner(self) -> str:
        return self.facts.owner[1]

    @entry("what it is")
    def what(self) -> str:
        return self.facts.what

    @entry("use: continuous, prolonged, intermittent, momentary")
    def use(self) -> str:
        return self.facts.use

    @figure("the part of the time it is on", unit="share", side="burden")
    def duty(self) -> float:
        return self.facts.duty

    @figure("voltage across it", unit="V", side="limit")
    def volts(self) -> float | None:
        return known(self.facts.volts)

    @figure("current while it is on", unit="A", side="burden")
    def on_a(self) -> float | None:
        return known(self.facts.on_a)

    @figure("average current", unit="A", side="burden")
    def average_a(self) -> float | None:
        return known(self.facts.average_a)

    @entry("how its current is known")
    def evidence(self) -> str | None:
        return self.facts.evidence


class LineInCondition(Part):
    """Demand of one circuit in one condition over three intervals."""

    facts: LoadLine
    row: int

    @figure("demand over 5 s", unit="A", side="burden", key="5s")
    def five_s(self) -> float | None:
        return known(self.facts.current_a[0, self.row])

    @figure("demand over 5 min", unit="A", side="burden", key="5min")
    def five_min(self) -> float | None:
        return known(self.facts.current_a[1, self.row])

    @figure("continuous demand", unit="A", side="burden")
    def continuous(self) -> float | None:
        return known(self.facts.current_a[2, self.row])


class LineResult(Part):
    """One line of the load analysis."""

    solved: SolvedPlan
    facts: LoadLine

    @entry("kind of part")
    def kind(self) -> str:
        return self.facts.kind

    @entry("name in the plan")
    def id(self) -> str:
        return self.facts.id

    @entry("it is needed to drive on")
    def essential(self) -> bool:
        return self.facts.essential

    @entry("groups of loads that are never on together")
    def exclusive(self) -> tuple[str, ...]:
        return self.facts.groups

    @part("its demand in each condition")
    def in_condition_a(self) -> Mapping[str, LineInCondition]:
        return {name: LineInCondition(self.facts, row) for row, name in enumerate(self.solved.condition_ids)}


class TotalInCondition(Part):
    """Current through one feed or relay in one condition."""

    facts: Total
    row: int

    @figure("current with everything on at once", unit="A", side="burden")
    def peak_a(self) -> float | None:
        return known(self.facts.peak_a[self.row])

    @figure("average current", unit="A", side="burden")
    def average_a(self) -> float | None:
        return known(self.facts.average_a[self.row])


class TotalResult(Part):
    """One feed or relay contact of the load analysis."""

    solved: SolvedPlan
    facts: Total

    @entry("kind of part")
    def kind(self) -> str:
        return self.facts.kind

    @entry("name in the plan")
    def id(self) -> str:
        return self.facts.id

    @figure("largest current it is rated for", unit="A", side="limit")
    def limit_a(self) -> float | None:
        return known(self.facts.limit_a)

    @entry("what sets that limit")
    def limit(self) -> str:
        return self.facts.limit_words

    @part("its current in each condition")
    def in_condition(self) -> Mapping[str, TotalInCondition]:
        return {name: TotalInCondition(self.facts, row) for row, name in enumerate(self.solved.condition_ids)}


class LoadAnalysis(Part):
    """Demand of every circuit, feed and relay contact in every condition."""

    solved: SolvedPlan

    @part("a line a circuit")
    def lines(self) -> tuple[LineResult, ...]:
        return tuple(LineResult(self.solved, each) for each in self.solved.results.power.loads.lines)

    @part("feeds")
    def feeds(self) -> tuple[TotalResult, ...]:
        return tuple(TotalResult(self.solved, each) for each in self.solved.results.power.loads.feeds)

    @part("relay contacts")
    def relays(self) -> tuple[TotalResult, ...]:
        return tuple(TotalResult(self.solved, each) for each in self.solved.results.power.loads.relays)
