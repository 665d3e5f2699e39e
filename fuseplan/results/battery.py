"""The battery: what its label promises, the parked car, and what is left when the alternator has failed."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.engine.battery import ACCEPTANCE_BASIS, RESERVE_SOURCE, RESERVE_WANTED_S, BatteryFacts, Reserve
from fuseplan.engine.standing import Drain, Standing
from fuseplan.quantities.writing import minutes_left
from fuseplan.results.naming import condition_words
from fuseplan.results.part import Part, entry, entry_of, fact, figure, figure_of, part
from fuseplan.results.solved_plan import SolvedPlan, known


class ReserveConversion(Part):
    """The capacity by one published rule from the reserve capacity."""

    solved: SolvedPlan
    name: str

    @property
    def called(self) -> str:
        return f"rule {self.name}"

    @entry("the rule")
    def rule(self) -> str:
        return self.name

    @figure("capacity from the reserve capacity", unit="A·h", side="limit")
    def capacity_ah(self) -> float:
        return self.solved.results.power.battery.reserve_conversions_ah[self.name].value

    @entry("source of the rule")
    def source(self) -> str:
        return self.solved.results.power.battery.reserve_conversions_ah[self.name].source.line()


class BatteryResult(Part):
    """What the battery's label promises."""

    solved: SolvedPlan

    @property
    def facts(self) -> BatteryFacts:
        """What the engine knows of it."""
        return self.solved.results.power.battery

    capacity_ah = fact("20-hour capacity", unit="A·h", side="limit")
    capacity_basis = entry_of(lambda part: part.facts.capacity_basis, str, "what the capacity rests on")

    @part("the capacity by the published rules, where a reserve capacity is entered")
    def reserve_conversions(self) -> tuple[ReserveConversion, ...]:
        return tuple(ReserveConversion(self.solved, name) for name in self.facts.reserve_conversions_ah)

    charge = fact("state of charge", unit="share", side="limit")
    warm_ohm = fact("internal resistance, warm", unit="ohm", side="burden")
    cold_ohm = fact("internal resistance while cranking", unit="ohm", side="burden")
    resistance_basis = entry_of(lambda part: part.facts.resistance_basis, str, "what the internal resistance rests on")
    peukert = fact("Peukert exponent", unit="-", side="stated")
    peukert_basis = entry_of(lambda part: part.facts.peukert_basis, str, "what the Peukert exponent rests on")
    usable_ah = fact("charge that may be used before the car no longer starts", unit="A·h", side="limit")

    @figure("the part of the capacity that may be used before the car no longer starts", unit="share", side="stated")
    def no_start_share(self) -> float:
        return self.facts.no_start_share.value

    no_start_source = entry_of(lambda part: part.facts.no_start_share.source.line(), str, "source of that part")

    @figure("temperature at which the acid freezes", unit="°C", side="burden")
    def freezing_c(self) -> float | None:
        return None if self.facts.freezing_c is None else self.facts.freezing_c.value

    @entry("what the charge acceptance rests on")
    def acceptance_basis(self) -> str:
        return ACCEPTANCE_BASIS


class DrainResult(Part):
    """One consumer of the parked car."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return f"{self.owner}, {self.what}"

    @property
    def facts(self) -> Drain:
        """What the engine knows of it."""
        return self.solved.results.power.standing.drains[self.index]

    owner_kind = entry_of(lambda part: part.facts.owner[0], str, "kind of part it belongs to")
    owner = entry_of(lambda part: part.facts.owner[1], str, "the part it belongs to")
    what = entry_of(lambda part: part.facts.what, str, "what it is")
    current_a = fact("current with the car parked", unit="A", side="burden", from_network=True)


class StandingResult(Part):
    """The parked car."""

    solved: SolvedPlan

    @property
    def facts(self) -> Standing:
        """What the engine knows of it."""
        return self.solved.results.power.standing

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    drain_a = fact("standing drain", unit="A", side="burden")
    drain_upper_a = fact("standing drain, every current at its worst case", unit="A", side="burden")

    @part("what draws it")
    def drains(self) -> tuple[DrainResult, ...]:
        return tuple(DrainResult(self.solved, index) for index in range(len(self.facts.drains)))

    self_discharge_a = fact("self-discharge of the battery", unit="A", side="burden")
    self_discharge_source = entry_of(lambda part: part.facts.self_discharge_source.line(),
                                     str, "source of the self-discharge")
    days = fact("days until the car no longer starts, self-discharge left out", unit="day", side="limit")
    days_with_self_discharge = fact("days until the car no longer starts, self-discharge counted",
                                    unit="day", side="limit")

    @figure("days until the car no longer starts, self-discharge counted, every current at its worst case", unit="day",
            side="limit")
    def days_upper(self) -> float | None:
        return known(self.facts.days_upper)

    wanted_days = fact("days the car is to stand", unit="day", side="stated")


class ReserveInCondition(Part):
    """After an alternator failure in one condition."""

    solved: SolvedPlan
    facts: Reserve

    @property
    def called(self) -> str:
        return condition_words(self.solved.results.network, self.facts.condition)

    normal_a = fact("current of everything that is on, on the battery alone",
                    unit="A", side="burden", from_network=True)
    essential_a = fact("current of the essential loads, on the battery alone",
                       unit="A", side="burden", from_network=True)
    usable_ah = fact("charge counted on", unit="A·h", side="limit")
    total_min = figure_of(lambda part: part.facts.total_s / 60.0,
                          "time the essential loads run", unit="min", side="limit", written=minutes_left)


class ReserveResult(Part):
    """After an alternator failure."""

    solved: SolvedPlan

    @entry("source of the wanted reserve")
    def source(self) -> str:
        return RESERVE_SOURCE

    @figure("reserve wanted after an alternator failure", unit="min", side="burden")
    def wanted_min(self) -> float:
        return RESERVE_WANTED_S / 60.0

    @part("the reserve in each condition with the engine running")
    def in_condition(self) -> Mapping[str, ReserveInCondition]:
        return {self.solved.condition_ids[each.condition]: ReserveInCondition(self.solved, each)
                for each in self.solved.results.power.reserves}
