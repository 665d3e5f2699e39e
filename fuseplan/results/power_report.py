"""What ``fuseplan power --json`` prints beside conditions and power: load by load, over engine speed, over trips."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fuseplan.engine.changes import Change
from fuseplan.engine.cures import Cure
from fuseplan.engine.shedding import Shed
from fuseplan.engine.speed_curve import SpeedCurve
from fuseplan.results.condition import ConditionResult
from fuseplan.results.heading import Document
from fuseplan.results.loads import LoadAnalysis, LoadInCondition
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.power import PowerResult
from fuseplan.results.solved_plan import SolvedPlan, known
from fuseplan.results.trip import TripReport


class CurvePoint(Part):
    """Output and demand at one engine speed."""

    facts: SpeedCurve
    index: int

    @figure("engine speed", unit="r/min", side="stated")
    def engine_rpm(self) -> float | None:
        return known(self.facts.engine_rpm[self.index])

    @figure("hot output of the alternator", unit="A", side="limit")
    def output_a(self) -> float | None:
        return known(self.facts.output_a[self.index])

    @figure("average demand", unit="A", side="burden")
    def demand_a(self) -> float | None:
        return known(self.facts.demand_a[self.index])

    @figure("voltage of the battery post", unit="V", side="limit")
    def bus_v(self) -> float | None:
        return known(self.facts.bus_v[self.index])

    @figure("battery discharge", unit="A", side="burden")
    def discharge_a(self) -> float | None:
        return known(self.facts.discharge_a[self.index])


class CurveResult(Part):
    """Output and demand over engine speed in one condition."""

    solved: SolvedPlan
    facts: SpeedCurve

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    @figure("engine speed from which the battery is not discharged", unit="r/min", side="burden")
    def break_even_rpm(self) -> float | None:
        return known(self.facts.break_even_rpm)

    @figure("engine speed from which the regulator voltage is reached", unit="r/min", side="burden")
    def regulated_rpm(self) -> float | None:
        return known(self.facts.held_rpm)

    @part("the curve")
    def points(self) -> tuple[CurvePoint, ...]:
        return tuple(CurvePoint(self.facts, index) for index in range(len(self.facts.engine_rpm)))


class ChangeResult(Part):
    """One change of the plan."""

    facts: Change

    @entry("path in the plan")
    def path(self) -> str:
        return ".".join(map(str, self.facts.path))

    @entry("what is put there")
    def value(self) -> Any:
        return self.facts.plain


class FixResult(Part):
    """One change that would lessen or close the gap between output and demand."""

    facts: Cure

    @entry("its name")
    def id(self) -> str:
        return self.facts.id

    @entry("what to do, in words")
    def words(self) -> str:
        return self.facts.words

    @entry("what would be typed into the plan")
    def typed(self) -> tuple[str, ...]:
        return tuple(change.typed() for change in self.facts.changes)

    @part("the changes of the plan")
    def changes(self) -> tuple[ChangeResult, ...]:
        return tuple(ChangeResult(each) for each in self.facts.changes)

    @figure("balance as it is", unit="A", side="balance")
    def before_a(self) -> float | None:
        return known(self.facts.before_a)

    @figure("balance with the change", unit="A", side="balance")
    def after_a(self) -> float | None:
        return known(self.facts.after_a)

    @figure("demand with everything on at once as it is", unit="A", side="burden")
    def peak_before_a(self) -> float | None:
        return known(self.facts.peak_before_a)

    @figure("demand with everything on at once with the change", unit="A", side="burden")
    def peak_after_a(self) -> float | None:
        return known(self.facts.peak_after_a)

    @entry("it closes the gap")
    def closes(self) -> bool:
        return self.facts.closes

    @entry("what to mind")
    def caution(self) -> str:
        return self.facts.caution


class ShedResult(Part):
    """One load to switch off, with those before it."""

    facts: Shed

    @entry("the circuit")
    def circuit(self) -> str:
        return self.facts.circuit

    @entry("what it is")
    def what(self) -> str:
        return self.facts.what

    @entry("a lamp: the law may ask for it")
    def lamp(self) -> bool:
        return self.facts.lamp

    @figure("average current saved", unit="A", side="limit")
    def average_a(self) -> float | None:
        return known(self.facts.average_a)

    @figure("balance once it is off", unit="A", side="balance")
    def balance_a(self) -> float | None:
        return known(self.facts.balance_a)


class PowerReport(Document):
    """What ``fuseplan power --json`` prints. Keys end in their SI unit; null stands for what is not known, or for
    never."""

    driven: tuple[str, ...] = ()
    """Names of the trips to drive."""
    chosen: int | None = None
    """Number of the condition that is set out load by load; the worst running one where left out."""

    @property
    def row(self) -> int:
        """Number of the condition set out; -1 where there is none."""
        return self.solved.results.power.worst if self.chosen is None else self.chosen

    def _id(self, row: int) -> str | None:
        return self.solved.condition_ids[row] if row >= 0 else None

    @entry("the running condition with the worst balance")
    def worst_condition(self) -> str | None:
        return self._id(self.solved.results.power.worst)

    @entry("the condition that loads_in_condition, curve, fixes and shedding are of")
    def condition(self) -> str | None:
        return self._id(self.row)

    @entry("names of the trips that can be driven")
    def trips_known(self) -> tuple[str, ...]:
        return self.solved.results.power.trips

    @part("alternator and battery in each condition")
    def conditions(self) -> tuple[ConditionResult, ...]:
        return tuple(ConditionResult(self.solved, index) for index in range(len(self.solved.condition_ids)))

    @part("battery and alternator")
    def power(self) -> PowerResult:
        return PowerResult(self.solved)

    @part("the loads of the condition one by one, the largest average first")
    def loads_in_condition(self) -> tuple[LoadInCondition, ...]:
        power = self.solved.results.power
        return tuple(LoadInCondition(each) for each in (power.details(self.row) if self.row >= 0 else ()))

    @part("the load analysis")
    def loads(self) -> LoadAnalysis:
        return LoadAnalysis(self.solved)

    @part("output and demand over engine speed")
    def curve(self) -> CurveResult | None:
        found = self.solved.results.power.curve(self.row)
        return None if found is None else CurveResult(self.solved, found)

    @part("what would close the gap")
    def fixes(self) -> tuple[FixResult, ...]:
        return tuple(FixResult(each) for each in self.solved.results.power.cures(self.row))

    @part("what to switch off, in this order")
    def shedding(self) -> tuple[ShedResult, ...]:
        return tuple(ShedResult(each) for each in self.solved.results.power.shedding(self.row))

    @part("the trips that were asked for; null where the battery's capacity is not known")
    def trips(self) -> Mapping[str, TripReport | None]:
        found = {name: self.solved.results.power.trip(name) for name in self.driven}
        return {name: None if each is None else TripReport(self.solved, each) for name, each in found.items()}
