"""What stands at the root of the network: the battery, and the alternator at a rotor speed."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.alternator import machine_of
from fuseplan.formulas.alternator import regulated_voltage, rotor_speed
from fuseplan.formulas.battery import internal_resistance_from_cold_crank
from fuseplan.plan.model import Battery, Condition, Plan
from fuseplan.tables import alternators, batteries

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

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
    battery_known: bool

    @property
    def strong(self) -> Source:
        """The same with a running alternator of unknown output taken as strong enough for everything."""
        return replace(self, available_a=np.where(self.running, math.inf, 0.0))


def open_circuit_v(battery: Battery | None, system_v: float) -> float:
    """Rested voltage in V: as given, else from the state of charge, scaled to the system voltage."""
    if battery is not None and battery.open_circuit is not None:
        return float(battery.open_circuit)
    charge = 1.0 if battery is None else battery.state_of_charge
    return float(batteries.ocv_from_soc(charge)) * system_v / 12.0


def cold_share(battery: Battery | None, cold: bool) -> float:
    """Internal resistance as a share of that in the cold test: at the battery's temperature where that is given,
    else the test's own while cranking and that of a warm battery otherwise. Straight line between; from memory."""
    if battery is None or battery.temperature is None:
        return 1.0 if cold else WARM_SHARE
    return float(np.interp(float(battery.temperature), (COLD_TEST_C, WARM_C), (1.0, WARM_SHARE)))


def internal_ohm(battery: Battery | None, system_v: float, cold: bool) -> float:
    """Internal resistance in ohm: as given, else derived from the cold-cranking current and its test's end voltage."""
    if battery is None:
        return UNKNOWN_OHM * system_v / 12.0
    if battery.internal_resistance is not None:
        return float(battery.internal_resistance)
    if battery.cold_crank:
        end_v = batteries.cold_crank_test(battery.cold_crank_test.lower()).end_v
        scale = system_v / 12.0
        resistance = internal_resistance_from_cold_crank(COLD_OPEN_V * scale, end_v * scale, float(battery.cold_crank))
        return float(resistance) * cold_share(battery, cold)
    return UNKNOWN_OHM * system_v / 12.0


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
    return UNKNOWN_STRONG_OHM * system_v / 12.0


def source_of(plan: Plan, conditions: tuple[Condition, ...], system_v: float) -> Source:
    """Battery and alternator of a plan in each of its conditions."""
    scale = system_v / 12.0
    cold = np.array([condition.state == "crank" for condition in conditions])
    warm_ohm = internal_ohm(plan.battery, system_v, cold=False)
    cold_ohm = internal_ohm(plan.battery, system_v, cold=True)
    engine = np.array([condition.engine for condition in conditions], dtype=float)
    alternator = plan.alternator
    ratio = PULLEY_RATIO if alternator is None or alternator.pulley_ratio is None else alternator.pulley_ratio
    rotor = np.asarray(rotor_speed(engine, ratio), dtype=float)
    running = np.array([condition.state == "running" for condition in conditions], dtype=bool)
    running &= alternator is not None
    available = np.zeros(len(conditions))
    regulator_v, rated = REGULATOR_V * scale, math.nan
    if alternator is not None:
        machine = machine_of(alternator)
        available = np.where(running, machine.hot_a(rotor), 0.0)
        rated = machine.rated_a
        at_20 = float(alternator.regulator_voltage) if alternator.regulator_voltage is not None else REGULATOR_V * scale
        slope = alternator.slope if alternator.slope is not None else alternators.regulator_slope().value * scale
        temperature = REGULATOR_C if alternator.regulator_temperature is None else alternator.regulator_temperature
        regulator_v = float(regulated_voltage(at_20, slope, float(temperature)))
    known = alternator is not None and not math.isnan(rated)
    return Source(
        open_circuit_v=np.full(len(conditions), open_circuit_v(plan.battery, system_v)),
        internal_ohm=np.where(cold, cold_ohm, warm_ohm), available_a=available, rotor_rpm=rotor,
        regulator_v=regulator_v, running=running, rated_a=rated, alternator_known=known,
        battery_known=plan.battery is not None,
    )
