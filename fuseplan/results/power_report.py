"""What ``fuseplan power --json`` prints beside conditions and power: load by load, over engine speed, over trips."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fuseplan.engine.changes import Change
from fuseplan.engine.cures import Cure
from fuseplan.engine.shedding import Shed
from fuseplan.engine.speed_curve import SpeedCurve
from fuseplan.engine.trip import Leg, TripResult
from fuseplan.results.condition import ConditionResult
from fuseplan.results.heading import Document
from fuseplan.results.loads import LoadAnalysis, LoadInCondition
from fuseplan.results.part import Part, entry, entry_of, fact, part
from fuseplan.results.power import PowerResult
from fuseplan.results.solved_plan import SolvedPlan


class CurvePoint(Part):
    """Output and demand at one engine speed."""

    facts: SpeedCurve
    index: int

    engine_rpm = fact("engine speed", unit="r/min", side="stated")
    output_a = fact("hot output of the alternator", unit="A", side="limit")
    demand_a = fact("average demand", unit="A", side="burden")
    bus_v = fact("voltage of the battery post", unit="V", side="limit")
    discharge_a = fact("battery discharge", unit="A", side="burden")


class CurveResult(Part):
    """Output and demand over engine speed in one condition."""

    solved: SolvedPlan
    facts: SpeedCurve

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    break_even_rpm = fact("engine speed from which the battery is not discharged", unit="r/min", side="burden")
    regulated_rpm = fact("engine speed from which the regulator voltage is reached", unit="r/min", side="burden")

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

    id = entry_of(lambda part: part.facts.id, str, "its name")
    words = entry_of(lambda part: part.facts.words, str, "what to do, in words")

    @entry("what would be typed into the plan")
    def typed(self) -> tuple[str, ...]:
        return tuple(change.typed() for change in self.facts.changes)

    @part("the changes of the plan")
    def changes(self) -> tuple[ChangeResult, ...]:
        return tuple(ChangeResult(each) for each in self.facts.changes)

    before_a = fact("balance as it is", unit="A", side="balance")
    after_a = fact("balance with the change", unit="A", side="balance")
    peak_before_a = fact("demand with everything on at once as it is", unit="A", side="burden")
    peak_after_a = fact("demand with everything on at once with the change", unit="A", side="burden")
    closes = entry_of(lambda part: part.facts.closes, bool, "it closes the gap")
    caution = entry_of(lambda part: part.facts.caution, str, "what to mind")


class ShedResult(Part):
    """One load to switch off, with those before it."""

    facts: Shed

    circuit = entry_of(lambda part: part.facts.circuit, str, "the circuit")
    what = entry_of(lambda part: part.facts.what, str, "what it is")
    lamp = entry_of(lambda part: part.facts.lamp, bool, "a lamp: the law may ask for it")
    average_a = fact("average current saved", unit="A", side="limit")
    balance_a = fact("balance once it is off", unit="A", side="balance")


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


class LegResult(Part):
    """One leg of a trip."""

    solved: SolvedPlan
    facts: Leg

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    duration_s = fact("how long it lasts", unit="s", side="stated")
    start_charge = fact("state of charge at its start", unit="share", side="limit")
    end_charge = fact("state of charge at its end", unit="share", side="limit")
    put_in_ah = fact("charge put in", unit="A·h", side="limit")
    taken_out_ah = fact("charge taken out", unit="A·h", side="burden")


class TripPoint(Part):
    """One moment of a trip."""

    facts: TripResult
    index: int

    time_s = fact("time from the start", unit="s", side="stated")
    charge = fact("state of charge", unit="share", side="limit")
    bus_v = fact("voltage of the battery post", unit="V", side="limit")
    alternator_a = fact("current the alternator delivers", unit="A", side="limit")
    battery_a = fact("current into the battery; negative is discharge", unit="A", side="balance")


class TripReport(Part):
    """One trip."""

    solved: SolvedPlan
    facts: TripResult

    name = entry_of(lambda part: part.facts.name, str, "name of the trip")
    starts = entry_of(lambda part: part.facts.starts, bool | None, "the car starts again at its end")
    verdict = entry_of(lambda part: part.facts.verdict, str, "what becomes of the battery, in words")
    crank_v = fact("voltage of the battery post while cranking at its end", unit="V", side="limit")
    put_in_ah = fact("charge put in", unit="A·h", side="limit")
    taken_out_ah = fact("charge taken out", unit="A·h", side="burden")
    lost_ah = fact("charge lost in charging", unit="A·h", side="burden")
    flat_at_s = fact("time at which the battery is flat", unit="s", side="limit")

    @part("its legs")
    def legs(self) -> tuple[LegResult, ...]:
        return tuple(LegResult(self.solved, each) for each in self.facts.legs)

    @part("the battery over time")
    def points(self) -> tuple[TripPoint, ...]:
        return tuple(TripPoint(self.facts, index) for index in range(len(self.facts.time_s)))
