"""The loads of the power report: those of one condition one by one, and the load analysis over all conditions."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.engine.loads_table import Detail, LoadLine, Total
from fuseplan.results.part import Part, entry, entry_of, fact, figure_of, part
from fuseplan.results.solved_plan import SolvedPlan


class LoadInCondition(Part):
    """One load of the condition that is set out load by load."""

    facts: Detail

    owner_kind = entry_of(lambda part: part.facts.owner[0], str, "kind of part it belongs to")
    owner = entry_of(lambda part: part.facts.owner[1], str, "the part it belongs to")
    what = entry_of(lambda part: part.facts.what, str, "what it is")
    use = entry_of(lambda part: part.facts.use, str, "use: continuous, prolonged, intermittent, momentary")
    duty = fact("the part of the time it is on", unit="share", side="burden")
    volts = fact("voltage across it", unit="V", side="limit")
    on_a = fact("current while it is on", unit="A", side="burden")
    average_a = fact("average current", unit="A", side="burden")
    evidence = entry_of(lambda part: part.facts.evidence, str | None, "how its current is known")


class LineInCondition(Part):
    """Demand of one circuit in one condition over three intervals."""

    facts: LoadLine
    row: int

    five_s = figure_of(lambda part: part.facts.current_a[0, part.row],
                       "demand over 5 s", unit="A", side="burden", key="5s")
    five_min = figure_of(lambda part: part.facts.current_a[1, part.row],
                         "demand over 5 min", unit="A", side="burden", key="5min")
    continuous = figure_of(lambda part: part.facts.current_a[2, part.row], "continuous demand", unit="A", side="burden")


class LineResult(Part):
    """One line of the load analysis."""

    solved: SolvedPlan
    facts: LoadLine

    kind = entry_of(lambda part: part.facts.kind, str, "kind of part")
    id = entry_of(lambda part: part.facts.id, str, "name in the plan")
    essential = entry_of(lambda part: part.facts.essential, bool, "it is needed to drive on")

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

    peak_a = figure_of(lambda part: part.facts.peak_a[part.row],
                       "current with everything on at once", unit="A", side="burden")
    average_a = figure_of(lambda part: part.facts.average_a[part.row], "average current", unit="A", side="burden")


class TotalResult(Part):
    """One feed or relay contact of the load analysis."""

    solved: SolvedPlan
    facts: Total

    kind = entry_of(lambda part: part.facts.kind, str, "kind of part")
    id = entry_of(lambda part: part.facts.id, str, "name in the plan")
    limit_a = fact("largest current it is rated for", unit="A", side="limit")
    limit = entry_of(lambda part: part.facts.limit_words, str, "what sets that limit")

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
