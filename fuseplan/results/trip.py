"""A trip: the battery over time through conditions that follow one another."""

from __future__ import annotations

from fuseplan.engine.trip import Leg, TripResult
from fuseplan.results.part import Part, entry, entry_of, figure_of, part
from fuseplan.results.solved_plan import SolvedPlan


class LegResult(Part):
    """One leg of a trip."""

    solved: SolvedPlan
    facts: Leg

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    duration_s = figure_of(lambda part: part.facts.duration_s, "how long it lasts", unit="s", side="stated")
    start_charge = figure_of(lambda part: part.facts.start_charge,
                             "state of charge at its start", unit="share", side="limit")
    end_charge = figure_of(lambda part: part.facts.end_charge, "state of charge at its end", unit="share", side="limit")
    put_in_ah = figure_of(lambda part: part.facts.put_in_ah, "charge put in", unit="A·h", side="limit")
    taken_out_ah = figure_of(lambda part: part.facts.taken_out_ah, "charge taken out", unit="A·h", side="burden")


class TripPoint(Part):
    """One moment of a trip."""

    facts: TripResult
    index: int

    time_s = figure_of(lambda part: part.facts.time_s[part.index], "time from the start", unit="s", side="stated")
    charge = figure_of(lambda part: part.facts.charge[part.index], "state of charge", unit="share", side="limit")
    bus_v = figure_of(lambda part: part.facts.bus_v[part.index], "voltage of the battery post", unit="V", side="limit")
    alternator_a = figure_of(lambda part: part.facts.alternator_a[part.index],
                             "current the alternator delivers", unit="A", side="limit")
    battery_a = figure_of(lambda part: part.facts.battery_a[part.index],
                          "current into the battery; negative is discharge", unit="A", side="balance")


class TripReport(Part):
    """One trip."""

    solved: SolvedPlan
    facts: TripResult

    name = entry_of(lambda part: part.facts.name, str, "name of the trip")
    starts = entry_of(lambda part: part.facts.starts, bool | None, "the car starts again at its end")
    verdict = entry_of(lambda part: part.facts.verdict, str, "what becomes of the battery, in words")
    crank_v = figure_of(lambda part: part.facts.crank_v,
                        "voltage of the battery post while cranking at its end", unit="V", side="limit")
    put_in_ah = figure_of(lambda part: part.facts.put_in_ah, "charge put in", unit="A·h", side="limit")
    taken_out_ah = figure_of(lambda part: part.facts.taken_out_ah, "charge taken out", unit="A·h", side="burden")
    lost_ah = figure_of(lambda part: part.facts.lost_ah, "charge lost in charging", unit="A·h", side="burden")
    flat_at_s = figure_of(lambda part: part.facts.flat_at_s,
                          "time at which the battery is flat", unit="s", side="limit")

    @part("its legs")
    def legs(self) -> tuple[LegResult, ...]:
        return tuple(LegResult(self.solved, each) for each in self.facts.legs)

    @part("the battery over time")
    def points(self) -> tuple[TripPoint, ...]:
        return tuple(TripPoint(self.facts, index) for index in range(len(self.facts.time_s)))
