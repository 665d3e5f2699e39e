"""What stands at the root of the network: the battery, and the alternator at a rotor speed."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.alternator import machine_of
from fuseplan.formulas.alternator import regulated_voltage, rotor_speed
from fuseplan.formulas.battery import internal_resistance_from_cold_crank, resistance_at_temperature
from fuseplan.plan.conditions import conditions_of
from fuseplan.plan.model import Alternator, Battery, Condition, Plan
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import alternators, batteries
from fuseplan.trace import apply, chosen, decided, given, number, spread, together

SCALED = "scaled from 12 V in proportion to the system voltage"
REGULATOR_V = 14.2
"""Regulator voltage of a 12 V system at 20 °C; the middle of the published regulator voltages on file."""
REGULATOR_C = 20.0
PULLEY_RATIO = 2.0
"""Rotor turns per engine turn where none is given: an old V-belt drive, on the low side."""
HIGHEST_PULLEY_RATIO = 3.0
"""The same for the rotor's highest speed, on the high side. Common practice, no source."""
COLD_OPEN_V = 12.7
WARM_SHARE = 0.5
"""Internal resistance at 20 to 25 °C as a share of that in the cold test. From memory."""
COLD_TEST_C = -18.0
WARM_C = 20.0
MADE_UP_V = 0.5
"""Drop that a regulator of a 12 V system makes up for that senses the battery by a lead of its own."""
SENSE_SOURCE = "sensing at the battery makes up for up to about 0.5 V in the cables: a page on truck charging " \
    "systems, second-hand"
UNKNOWN_OHM = 0.020
"""Internal resistance where the plan says nothing of the battery; that of a small, tired battery. Common practice,
no source."""


@dataclass(frozen=True)
class Source:
    """Battery and alternator in each condition; arrays of shape (C,)."""

    open_circuit_v: Floats
    internal_ohm: Floats
    available_a: Floats
    """Hot output at the rotor speed, 0 without an alternator."""
    rotor_rpm: Floats
    regulator_v: float
    running: Flags
    """Whether there is an alternator and the engine turns it."""
    rated_a: float
    """Rated output, NaN where unknown."""
    alternator_known: bool
    made_up_v: float = 0.0
    """What its regulator makes up for between its terminal and the point it senses, at most [V]."""

    @property
    def highest_v(self) -> float:
        """The most its terminal may have [V]."""
        if not self.made_up_v:
            return self.regulator_v
        return number(together("regulator voltage and what its sense lead makes up for",
                               [("regulator voltage", self.regulator_v), ("made up", self.made_up_v)], SENSE_SOURCE))

    @property
    def strong(self) -> Source:
        """The same with a running alternator of unknown output taken as strong enough for everything."""
        return replace(self, available_a=np.where(self.running, math.inf, 0.0))


def open_circuit_v(battery: Battery | None, system_v: float) -> float:
    """Rested voltage in V: as given, else from the state of charge, scaled to the system voltage."""
    if battery is not None and battery.open_circuit is not None:
        return given(float(battery.open_circuit), "E", "V", "rested voltage", "the plan, battery.open_circuit")
    charge = charge_of(battery)
    return decided(float(batteries.ocv_from_soc(float(charge))) * system_v / 12.0, "E", "V",
                   f"rested voltage at that charge, straight line between the printed rows, {SCALED}",
                   lambda: batteries.ocv_source().line(), charge)


def charge_of(battery: Battery | None) -> float:
    """State of charge, 0 to 1."""
    if battery is None:
        return given(1.0, "z", "-", "no battery in the plan: taken as full", "the plan")
    return given(battery.state_of_charge, "z", "-", "state of charge at the start",
                 "the plan, battery.state_of_charge")


def cold_share(battery: Battery | None, cold: bool) -> float:
    """Internal resistance as a share of that in the cold test: at the battery's temperature where that is given,
    else the test's own while cranking and that of a warm battery otherwise. Straight line between; from memory."""
    if battery is None or battery.temperature is None:
        return given(1.0 if cold else WARM_SHARE, "s", "-", "internal resistance as a share of that in the cold test, "
                     + ("as while cranking" if cold else "of a warm battery"), "from memory")
    at = given(float(battery.temperature), "T", "°C", "temperature of the battery", "the plan, battery.temperature")
    return decided(float(np.interp(float(at), (COLD_TEST_C, WARM_C), (1.0, WARM_SHARE))), "s", "-",
                   "internal resistance as a share of that in the cold test, at that temperature", "from memory", at)


def crank_c(battery: Battery | None) -> float:
    """Temperature of the battery while cranking in °C: as given, else that of the cold test."""
    if battery is None or battery.temperature is None:
        return given(COLD_TEST_C, "T", "°C", "temperature of the battery while cranking, none being given: that of the "
                     "cold test", "definition of the cold test")
    return given(float(battery.temperature), "T", "°C", "temperature of the battery", "the plan, battery.temperature")


def internal_ohm(battery: Battery | None, system_v: float, cold: bool) -> float:
    """Internal resistance in ohm: as given, else derived from the cold-cranking current and its test's end voltage."""
    if battery is not None and battery.internal_resistance is not None:
        return given(float(battery.internal_resistance), "r", "ohm", "internal resistance",
                     "the plan, battery.internal_resistance")
    if battery is not None and battery.cold_crank:
        test, scale = batteries.cold_crank_test(battery.cold_crank_test.lower()), system_v / 12.0
        start = given(COLD_OPEN_V * scale, "U₀", "V", f"rested voltage before the cold test, {SCALED}", "from memory")
        end = given(test.end_v * scale, "U₁", "V", lambda: f"least voltage in the cold test, {test.words}, {SCALED}",
                    lambda: test.source.line())
        current = given(float(battery.cold_crank), "I", "A", "cold-cranking current of the label",
                        "the plan, battery.cold_crank")
        resistance = apply(internal_resistance_from_cold_crank, open_v=start, end_v=end, current=current)
        return number(apply(resistance_at_temperature, test_ohm=resistance, share=cold_share(battery, cold)))
    return given(UNKNOWN_OHM * system_v / 12.0, "r", "ohm", lambda: "nothing is known of the battery: "
                 f"{writing.stated(UNKNOWN_OHM * 1e3, 'mΩ')} of a small, tired one, {SCALED}",
                 "common practice, no source")


UNKNOWN_STRONG_OHM = 0.004
"""The same for the largest short an unknown battery may drive: that of a good, warm starter battery. Common practice,
no source."""


def battery_known(battery: Battery | None) -> bool:
    """Whether the plan says enough of the battery for its resistance."""
    return battery is not None and (battery.internal_resistance is not None or bool(battery.cold_crank))


def strongest_ohm(battery: Battery | None, system_v: float) -> float:
    """Internal resistance in ohm for the largest short: the warm battery, or a strong one where nothing is known."""
    if battery_known(battery):
        return internal_ohm(battery, system_v, cold=False)
    return given(UNKNOWN_STRONG_OHM * system_v / 12.0, "r", "ohm", lambda: "nothing is known of the battery: "
                 f"{writing.stated(UNKNOWN_STRONG_OHM * 1e3, 'mΩ')} of a good, warm one, which drives the most, "
                 f"{SCALED}", "common practice, no source")


def ratio_of(alternator: Alternator | None) -> float:
    """Rotor turns per engine turn in force, for output."""
    if alternator is None or alternator.pulley_ratio is None:
        return given(PULLEY_RATIO, "i", "-", "pulley ratio, none being given: an old V-belt drive, on the low side",
                     "common practice, no source")
    return given(alternator.pulley_ratio, "i", "-", "pulley ratio", "the plan, alternator.pulley_ratio")


def regulator_voltage_of(alternator: Alternator | None, system_v: float) -> float:
    """Regulator voltage at its temperature in V."""
    scale = system_v / 12.0
    usual = alternators.regulator_20_c_v()
    if alternator is None:
        return given(REGULATOR_V * scale, "U", "V", "no alternator in the plan: the middle of the published regulator "
                     f"voltages, {SCALED}", lambda: usual.source.line())
    at_20 = given(REGULATOR_V * scale, "U₁", "V", f"regulator voltage at 20 °C, none being given, {SCALED}",
                  lambda: usual.source.line()) if alternator.regulator_voltage is None else \
        given(float(alternator.regulator_voltage), "U₁", "V", "regulator voltage at 20 °C",
              "the plan, alternator.regulator_voltage")
    found = alternators.regulator_slope()
    slope = given(found.value * scale, "c", "V/K", f"change of the regulator voltage, {SCALED}",
                  lambda: found.source.line()) if alternator.slope is None else \
        given(alternator.slope, "c", "V/K", "change of the regulator voltage", "the plan, alternator.slope")
    warm = alternator.regulator_temperature
    at = given(REGULATOR_C, "T", "°C", "temperature of the regulator, none given",
               "the regulator voltage's own reference") if warm is None else \
        given(float(warm), "T", "°C", "temperature of the regulator", "the plan, alternator.regulator_temperature")
    return number(apply(regulated_voltage, regulator_voltage=at_20, slope=slope, temperature=at))


def made_up_v(alternator: Alternator | None, system_v: float) -> float:
    """What the regulator makes up for at most [V]; nothing where it senses its own terminal."""
    if alternator is None or alternator.sense != "battery":
        return 0.0
    return given(MADE_UP_V * system_v / 12.0, "ΔU", "V", f"what a sense lead makes up for at most, {SCALED}",
                 SENSE_SOURCE)


def source_of(plan: Plan, conditions: tuple[Condition, ...], system_v: float) -> Source:
    """Battery and alternator of a plan in each of its conditions."""
    cold = np.array([condition.state == "crank" for condition in conditions])
    warm_ohm = internal_ohm(plan.battery, system_v, cold=False)
    cold_ohm = internal_ohm(plan.battery, system_v, cold=True)
    engine = given(np.array([condition.engine for condition in conditions], dtype=float), "N", "rpm",
                   lambda number: f"engine speed in '{tuple(conditions_of(plan))[number]}'",
                   lambda number: f"condition.{tuple(conditions_of(plan))[number]}.engine of the plan, or built in")
    alternator = plan.alternator
    rotor = apply(rotor_speed, engine=engine, ratio=ratio_of(alternator))
    running = np.array([condition.state == "running" for condition in conditions], dtype=bool)
    running &= alternator is not None
    available = given(np.zeros(len(conditions)), "Iₐ", "A", "no alternator in the plan", "the plan")
    rated = math.nan
    if alternator is not None:
        machine = machine_of(alternator)
        still = given(np.zeros(len(conditions)), "Iₐ", "A", "the engine is not running", "the plan")
        available = chosen(running, machine.hot_a(rotor), still, "")
        rated = given(machine.rated_a, "Iᵣ", "A", lambda: f"rated output; {machine.basis}", "the plan, alternator")
    known = alternator is not None and not math.isnan(rated)
    return Source(
        open_circuit_v=spread(open_circuit_v(plan.battery, system_v), len(conditions)),
        internal_ohm=chosen(cold, cold_ohm, warm_ohm, ""), available_a=available, rotor_rpm=rotor,
        regulator_v=regulator_voltage_of(alternator, system_v),
        running=running, rated_a=rated, alternator_known=known, made_up_v=made_up_v(alternator, system_v),
    )
