"""What was taken of battery, alternator and the car as a whole where the plan is silent."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import OfPart, SubjectKind
from fuseplan.engine.alternator import highest_rotor_rpm, machine_of
from fuseplan.engine.assumed import Errs
from fuseplan.engine.results import Results
from fuseplan.engine.second_batteries import joined_of, label_of
from fuseplan.engine.source import (
    COLD_TEST_C,
    HIGHEST_PULLEY_RATIO,
    PULLEY_RATIO,
    REGULATOR_C,
    REGULATOR_V,
    UNKNOWN_OHM,
    UNKNOWN_STRONG_OHM,
    battery_known,
)
from fuseplan.plan.model import Alternator, Battery
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import alternators, batteries
from fuseplan.tables.alternators import LOW_RPM

COMMON = "common practice, no source"


@dataclass(frozen=True)
class Assumption(OfPart):
    """One figure taken where the plan gives none."""

    subject_kind: SubjectKind
    subject: str
    key: str
    """Path in the plan that would settle it."""
    what: str
    """The figure, in the middle of a sentence."""
    value: float
    unit: str
    errs: Errs
    source: str


def of_the_supply(results: Results) -> Iterator[Assumption]:
    """What was taken of the system, the battery and further ones, and the alternator."""
    plan, scale = results.plan, results.network.system_v / 12.0
    if "system" not in plan.vehicle.model_fields_set:
        yield Assumption("plan", "plan", "vehicle.system", "nominal voltage of the system", results.network.system_v,
                         "V", Errs.EITHER, COMMON)
    if plan.circuit and not battery_known(plan.battery):
        for what, ohm in (("weak battery, for cranking and the least a short draws", UNKNOWN_OHM),
                          ("strong battery, for the most a short draws", UNKNOWN_STRONG_OHM)):
            yield _battery("cold_crank", what, ohm * scale, "ohm", Errs.SAFE, COMMON)
    if plan.battery is not None:
        yield from _of_the_battery(plan.battery, scale)
    for name, fitted in joined_of(results.network).items():
        if not battery_known(label_of(fitted)):
            yield Assumption("circuit", name, f"circuit.{name}.second_battery.cold_crank",
                             "strong second battery, for the most a short draws", UNKNOWN_STRONG_OHM * scale, "ohm",
                             Errs.SAFE, COMMON)
    if plan.alternator is not None:
        yield from _of_the_alternator(plan.alternator, scale)
        if plan.vehicle.highest_engine_speed is None:
            fastest = max((float(each.engine) for each in results.network.conditions), default=0.0)
            yield Assumption("alternator", "alternator", "vehicle.highest_engine_speed",
                             "highest engine speed, for the rotor: that of the conditions", fastest, "r/min",
                             Errs.DANGER, COMMON)


def _of_the_battery(battery: Battery, scale: float) -> Iterator[Assumption]:
    said = battery.model_fields_set
    if "state_of_charge" not in said:
        yield _battery("state_of_charge", "state of charge of the battery", 100.0, "%", Errs.DANGER, COMMON)
    if battery_known(battery) and battery.temperature is None:
        yield _battery("temperature", "temperature of the battery while cranking", COLD_TEST_C, "°C", Errs.SAFE,
                       "definition of the cold test")
    if battery.cold_crank and battery.internal_resistance is None and "cold_crank_test" not in said:
        test = batteries.cold_crank_test(battery.cold_crank_test.lower())
        yield _battery("cold_crank_test", f"least voltage in the test of its cold-cranking current, {test.words}",
                       test.end_v * scale, "V", Errs.DANGER, test.source.line())
    exponent = batteries.peukert_default(battery.kind)
    if "kind" not in said:
        yield _battery("kind", f"kind of battery: {battery.kind}, with the Peukert exponent", exponent.value,
                       "", Errs.SAFE, exponent.source.line())
    elif battery.peukert is None:
        yield _battery("peukert", f"Peukert exponent of a battery of the kind {battery.kind}", exponent.value, "",
                       Errs.EITHER, exponent.source.line())


def _of_the_alternator(alternator: Alternator, scale: float) -> Iterator[Assumption]:
    if alternator.pulley_ratio is None:
        yield _alternator("pulley_ratio", "pulley ratio, for its output", PULLEY_RATIO, "", Errs.SAFE, COMMON)
        yield _alternator("pulley_ratio", "pulley ratio, for the highest rotor speed", HIGHEST_PULLEY_RATIO, "",
                          Errs.SAFE, COMMON)
    if alternator.rated is not None and alternator.low_speed is None and not alternator.curve \
            and alternator.machine == "alternator":
        yield _alternator("low_speed", f"output at {writing.stated(LOW_RPM, 'r/min')} of the rotor",
                          float(machine_of(alternator).cold_a(LOW_RPM)), "A", Errs.EITHER,
                          f"the usual share of the rated output: {alternators.output_curve().source.line()}")
    most_rpm, own, words = highest_rotor_rpm(alternator)
    if not own and alternator.machine == "alternator":
        yield _alternator("max_speed", "highest permitted rotor speed", most_rpm, "r/min", Errs.SAFE, words)
    if alternator.regulator_voltage is None:
        yield _alternator("regulator_voltage", "regulator voltage at 20 °C", REGULATOR_V * scale, "V", Errs.EITHER,
                          "middle of the published regulator voltages on file")
    if alternator.regulator_temperature is None:
        yield _alternator("regulator_temperature", "temperature of the regulator", REGULATOR_C, "°C", Errs.EITHER,
                          "the regulator voltage's own reference")
    elif alternator.slope is None:
        found = alternators.regulator_slope()
        yield _alternator("slope", "change of the regulator voltage with temperature", found.value * scale, "V/K",
                          Errs.EITHER, found.source.line())


def _battery(key: str, what: str, value: float, unit: str, errs: Errs, source: str) -> Assumption:
    return Assumption("battery", "battery", f"battery.{key}", what, value, unit, errs, source)


def _alternator(key: str, what: str, value: float, unit: str, errs: Errs, source: str) -> Assumption:
    return Assumption("alternator", "alternator", f"alternator.{key}", what, value, unit, errs, source)
