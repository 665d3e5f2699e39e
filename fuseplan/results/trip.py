"""A trip: the battery over time through conditions that follow one another."""

from __future__ import annotations

from fuseplan.engine.trip import Leg, TripResult
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.solved_plan import SolvedPlan, known


class LegResult(Part):
    """One leg of a trip."""

    solved: SolvedPlan
    facts: Leg

    @entry("the condition")
    def condition(self) -> str:
        return self.solved.condition_ids[self.facts.condition]

    @figure("how long it lasts", unit="s", side="stated")
    def duration_s(self) -> float | None:
        return known(self.facts.duration_s)

    @figure("state of charge at its start", unit="share", side="limit")
    def start_charge(self) -> float | None:
        return known(self.facts.start_charge)

    @figure("state of charge at its end", unit="share", side="limit")
    def end_charge(self) -> float | None:
        return known(self.facts.end_charge)

    @figure("charge put in", unit="A·h", side="limit")
    def put_in_ah(self) -> float | None:
        return known(self.facts.put_in_ah)

    @figure("charge taken out", unit="A·h", side="burden")
    def taken_out_ah(self) -> float | None:
        return known(self.facts.taken_out_ah)


class TripPoint(Part):
    """One moment of a trip."""

    facts: TripResult
    index: int

    @figure("time from the start", unit="s", side="stated")
    def time_s(self) -> float | None:
        return known(self.facts.time_s[self.index])

    @figure("state of charge", unit="share", side="limit")
    def charge(self) -> float | None:
        return known(self.facts.charge[self.index])

    @figure("voltage of the battery post", unit="V", side="limit")
    def bus_v(self) -> float | None:
        return known(self.facts.bus_v[self.index])

    @figure("current the alternator delivers", unit="A", side="limit")
    def alternator_a(self) -> float | None:
        return known(self.facts.alternator_a[self.index])

    @figure("current into the battery; negative is discharge", unit="A", side="balance")
    def battery_a(self) -> float | None:
        return known(self.facts.battery_a[self.index])


class TripReport(Part):
    """One trip."""

    solved: SolvedPlan
    facts: TripResult

    @entry("name of the trip")
    def name(self) -> str:
        return self.facts.name

    @entry("the car starts again at its end")
    def starts(self) -> bool | None:
        return self.facts.starts

    @entry("what becomes of the battery, in words")
    def verdict(self) -> str:
        return self.facts.verdict

    @figure("voltage of the battery post while cranking at its end", unit="V", side="limit")
    def crank_v(self) -> float | None:
        return known(self.facts.crank_v)

    @figure("charge put in", unit="A·h", side="limit")
    def put_in_ah(self) -> float | None:
        return known(self.facts.put_in_ah)

    @figure("charge taken out", unit="A·h", side="burden")
    def taken_out_ah(self) -> float | None:
        return known(self.facts.taken_out_ah)

    @figure("charge lost in charging", unit="A·h", side="burden")
    def lost_ah(self) -> float | None:
        return known(self.facts.lost_ah)

    @figure("time at which the battery is flat", unit="s", side="limit")
    def flat_at_s(self) -> float | None:
        return known(self.facts.flat_at_s)

    @part("its legs")
    def legs(self) -> tuple[LegResult, ...]:
        return tuple(LegResult(self.solved, each) for each in self.facts.legs)

    @part("the battery over time")
    def points(self) -> tuple[TripPoint, ...]:
        return tuple(TripPoint(self.facts, index) for index in range(len(self.facts.time_s)))
