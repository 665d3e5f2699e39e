"""Battery and alternator: the power part of the result."""

from __future__ import annotations

from fuseplan.results.battery import BatteryResult, ReserveResult, StandingResult
from fuseplan.results.charging import AlternatorResult, CableResult
from fuseplan.results.cranking import CrankingResult
from fuseplan.results.part import Part, figure, figure_of, part
from fuseplan.results.solved_plan import SolvedPlan, known


class PowerResult(Part):
    """Battery and alternator, what does not depend on the condition."""

    solved: SolvedPlan

    alternator_rated_a = figure_of(lambda part: part.solved.results.source.rated_a,
                                   "rated output of the alternator", unit="A", side="stated")
    regulator_v = figure_of(lambda part: part.solved.results.source.regulator_v,
                            "regulator voltage", unit="V", side="limit")

    @figure("open-circuit voltage of the battery", unit="V", side="limit")
    def open_circuit_v(self) -> float | None:
        source = self.solved.results.source
        return known(source.open_circuit_v[0]) if len(source.open_circuit_v) else None

    @figure("largest continuous demand over the rated output", unit="share", side="stated")
    def continuous_share_limit(self) -> float | None:
        return self.solved.limit_set.alternator.continuous_share

    @figure("largest demand with everything on at once over the rated output", unit="share", side="stated")
    def peak_share_limit(self) -> float | None:
        return self.solved.limit_set.alternator.peak_share

    @part("alternator")
    def alternator(self) -> AlternatorResult | None:
        return None if self.solved.plan.alternator is None else AlternatorResult(self.solved)

    @part("battery")
    def battery(self) -> BatteryResult | None:
        return None if self.solved.plan.battery is None else BatteryResult(self.solved)

    @part("the parked car")
    def standing(self) -> StandingResult | None:
        return StandingResult(self.solved) if self.solved.results.power.standing.condition >= 0 else None

    @part("cranking")
    def cranking(self) -> CrankingResult | None:
        return CrankingResult(self.solved) if self.solved.results.power.cranking.condition >= 0 else None

    @part("alternator cable")
    def alternator_cable(self) -> CableResult | None:
        cable = self.solved.results.power.alternator_cable
        return None if cable is None else CableResult(self.solved, cable)

    @part("reserve after an alternator failure")
    def reserve(self) -> ReserveResult:
        return ReserveResult(self.solved)
