"""Alternator and its cable: what the label or the measured curve promises, and what is lost on the way."""

from __future__ import annotations

from fuseplan.engine.alternator_cable import AlternatorCable
from fuseplan.engine.power_report import AlternatorFacts
from fuseplan.results.fuse import FuseResult, fuse_result
from fuseplan.results.part import Part, entry, entry_of, fact, figure, figure_of, part
from fuseplan.results.segment import SegmentResult, segment_results
from fuseplan.results.solved_plan import SolvedPlan, known
from fuseplan.tables import alternators


class OutputPoint(Part):
    """One point of the alternator's output over rotor speed."""

    solved: SolvedPlan
    index: int

    @figure("rotor speed", unit="r/min", side="stated")
    def rotor_rpm(self) -> float:
        return float(self.solved.results.power.alternator.machine.speeds[self.index])

    @figure("output at that rotor speed", unit="A", side="limit")
    def output_a(self) -> float:
        return float(self.solved.results.power.alternator.machine.currents[self.index])


class AlternatorResult(Part):
    """What the label or the measured curve promises."""

    solved: SolvedPlan

    @property
    def facts(self) -> AlternatorFacts:
        """What the engine knows of it."""
        return self.solved.results.power.alternator

    basis = entry_of(lambda part: part.facts.machine.basis, str, "what the curve rests on")
    measured = entry_of(lambda part: part.facts.machine.measured,
                        bool, "a curve measured by the user, taken as hot; cold by the label otherwise")

    @part("its output over rotor speed")
    def points(self) -> tuple[OutputPoint, ...]:
        count = len(self.facts.machine.speeds) if self.facts.machine.known else 0
        return tuple(OutputPoint(self.solved, index) for index in range(count))

    @entry("source of the hot output")
    def hot_source(self) -> str:
        return alternators.hot_source().line()

    pulley_ratio = fact("rotor turns per engine turn", unit="-", side="stated")
    pulley_given = entry_of(lambda part: part.facts.pulley_given, bool, "the plan gives the pulley ratio")
    highest_rotor_rpm = fact("highest permitted rotor speed", unit="r/min", side="limit")
    highest_is_own = entry_of(lambda part: part.facts.highest_is_own, bool, "the plan gives the highest rotor speed")
    highest_source = entry_of(lambda part: part.facts.highest_source, str, "source of the highest rotor speed")
    highest_engine_rpm = fact("engine speed at which the rotor reaches its highest", unit="r/min", side="limit")
    efficiency = fact("efficiency of the alternator", unit="share", side="stated")

    @entry("source of the efficiency")
    def efficiency_source(self) -> str:
        return alternators.efficiency().source.line()

    fuel_share = fact("the part of the fuel's energy that becomes electricity", unit="share", side="limit")


class ExciterResult(Part):
    """The circuit that starts the alternator's field."""

    solved: SolvedPlan
    cable: AlternatorCable

    @entry("the circuit")
    def circuit(self) -> str:
        assert self.cable.exciter is not None
        return self.cable.exciter.circuit

    @figure("current of the exciter, ignition on, engine not running", unit="A", side="limit")
    def current_a(self) -> float | None:
        assert self.cable.exciter is not None
        return known(self.cable.exciter.current_a)

    @figure("smallest current that starts the field", unit="A", side="burden")
    def wanted_a(self) -> float:
        assert self.cable.exciter is not None
        return self.cable.exciter.wanted.value

    @entry("source of the smallest current")
    def source(self) -> str:
        assert self.cable.exciter is not None
        return self.cable.exciter.wanted.source.line()


class CableResult(Part):
    """Alternator to battery and back, at rated output."""

    solved: SolvedPlan
    cable: AlternatorCable

    supply_ohm = figure_of(lambda part: part.cable.supply_ohm,
                           "resistance of the alternator cable, hottest", unit="ohm", side="burden", from_network=True)
    return_ohm = figure_of(lambda part: part.cable.return_ohm,
                           "resistance from the alternator's body to the battery's earthed post, hottest",
                           unit="ohm", side="burden", from_network=True)
    supply_drop_v = figure_of(lambda part: part.cable.supply_drop_v,
                              "supply-side voltage drop at rated output", unit="V", side="burden", from_network=True)
    return_drop_v = figure_of(lambda part: part.cable.return_drop_v,
                              "earth-side voltage drop at rated output", unit="V", side="burden", from_network=True)
    made_up_v = figure_of(lambda part: part.cable.made_up_v, "part of the supply-side drop that the sense lead makes "
                          "up for, at rated output; missing at the battery with the lead off", unit="V", side="limit",
                          from_network=True)

    @figure("highest permitted resistance of the alternator cable", unit="ohm", side="limit")
    def limit_ohm(self) -> float:
        return self.cable.limit_ohm.value

    @entry("source of the permitted resistance")
    def limit_ohm_source(self) -> str:
        return self.cable.limit_ohm.source.line()

    @figure("permitted supply-side voltage drop", unit="V", side="limit")
    def limit_v(self) -> float | None:
        return None if self.cable.limit_v is None else self.cable.limit_v.value

    @figure("permitted earth-side voltage drop", unit="V", side="limit")
    def return_limit_v(self) -> float:
        return self.cable.return_limit_v.value

    @entry("a fuse protects it at the battery's end")
    def guarded(self) -> bool:
        return self.cable.guarded

    @entry("what protects it")
    def guarded_by(self) -> str:
        return self.cable.guarded_by

    @part("its fuse")
    def fuse(self) -> FuseResult | None:
        return fuse_result(self.solved, ("alternator", ""))

    @part("its lengths of wire")
    def segments(self) -> tuple[SegmentResult, ...]:
        return segment_results(self.solved, ("alternator", ""))

    @part("the exciter's circuit")
    def exciter(self) -> ExciterResult | None:
        return None if self.cable.exciter is None else ExciterResult(self.solved, self.cable)
