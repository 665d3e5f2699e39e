"""What the plan says of one load, and what is taken where it says nothing: current, voltage, span, locked point."""

from __future__ import annotations

import math
from functools import lru_cache

from fuseplan.formulas.load import current_from_power, range_tolerance
from fuseplan.formulas.pulsed import heating_factor
from fuseplan.formulas.resistance import resistance_from_drop
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Load
from fuseplan.plan.words import TOLERANCE
from fuseplan.tables import loads as load_tables
from fuseplan.trace import Who, apply, given, larger, number
from fuseplan.trace.vocabulary import NOBODY

CHARGING_VOLTAGE = 13.5 / 12.0
"""Test voltage of a 12 V system, 13.5 V (SAE J56), over the nominal one."""
RAMP_FORM = 2.0 / 3.0
"""Form of pulses that rise in a straight line from nothing; 1 for square ones."""


@lru_cache(maxsize=16)
def usual_inrush(kind: str) -> tuple[float, float]:
    """Usual surge of a kind of load: (multiple, length in s)."""
    return load_tables.default_inrush(kind).value


def nominal(load: Load, system_v: float, who: Who = NOBODY) -> tuple[float, float]:
    """Running current of a load as entered and the voltage it is stated at: (A, V); NaN A where none is given."""
    at = stated_v(load, system_v, who)
    if load.current is not None:
        return given(float(load.current), "I₁", "A", "current of {words}", "the plan, {path}.current", who), at
    if load.power is not None:
        power = given(float(load.power), "P", "W", "power of {words}", "the plan, {path}.power", who)
        return apply(current_from_power, power_w=power, voltage_v=at), at
    return math.nan, at


def stated_v(load: Load, system_v: float, who: Who = NOBODY) -> float:
    """Voltage in V a load's current or power is stated at. Where the plan gives none, the one that leaves the larger
    current at every voltage the car has: the nominal one where the current rises with the voltage, the test voltage for
    the current of an electronic load. Of its power the voltage is no matter."""
    if load.at:
        return given(float(load.at), "U₁", "V", "voltage the figure of {words} is stated at", "the plan, {path}.at",
                     who)
    falls = load.kind is not None and load_tables.EXPONENTS[load.kind] < 0 and load.current is not None
    if falls:
        return given(system_v * CHARGING_VOLTAGE, "U₁", "V", "voltage for {words}, none being given: the one that "
                     "leaves the larger current, the test voltage 13.5 V of a 12 V system, scaled to the system's",
                     "SAE J56 (test voltage, from memory)", who)
    return given(system_v, "U₁", "V", "voltage for {words}, none being given: the one that leaves the larger current, "
                 "the system voltage", "the plan, vehicle.system", who)


def bounds(load: Load, current_a: float, tolerance: float, who: Who = NOBODY) -> tuple[float, float]:
    """How far the current of a load may lie below and above the one entered, as shares of it.

    A published span counts where it reaches further than the tolerance; a reading of this very load outdoes it. The
    span is a current at the voltage the load's own figure is stated at, be that a current or a power.

    Args:
        current_a: running current as entered [A]
        tolerance: by its evidence, alike to both sides; the load's own counts where it is more
    Returns:
        (lower, upper): shares of the current, never negative, the lower one 1 at most.
    """
    if load.tolerance is not None and load.tolerance > float(tolerance):
        tolerance = given(float(load.tolerance), "τ", "-", "how far the current of {words} may be off",
                          "the plan, {path}.tolerance", who)
    if load.range is None or load.evidence == "measured" or current_a <= 0:
        return min(tolerance, 1.0), tolerance
    low, high = (float(end) for end in load.range)
    end = given(high, "I₂", "A", "upper end of the range of {words}", "the plan, {path}.range", who)
    upper = larger(lambda: f"how far above it {who.words} may be, by its tolerance or its range",
                   tolerance, apply(range_tolerance, end_a=end, current_a=current_a))
    return min(max(float(tolerance), 1.0 - low / current_a), 1.0), number(upper)


def tolerances_of(plan: Plan) -> dict[str, float]:
    """Tolerance by evidence, the plan's own winning."""
    return TOLERANCE | {str(key): float(value) for key, value in plan.tolerance.items()}


def locked_ohm(load: Load, who: Who = NOBODY) -> float:
    """Resistance in ohm of a starter that stands still, from its locked point; 0 where that is not given."""
    if load.locked_current is None or load.locked_at is None:
        return 0.0
    volts = given(float(load.locked_at), "U", "V", "voltage of the locked point of {words}",
                  "the plan, {path}.locked_at", who)
    amps = given(float(load.locked_current), "I", "A", "locked current of {words}", "the plan, {path}.locked_current",
                 who)
    return number(apply(resistance_from_drop, drop_v=volts, current_a=amps))


def usual_locked_ohm(running_a: float, system_v: float) -> float:
    """Resistance in ohm of a starter that stands still where no locked point is given: that of the one on file, in
    proportion to the running current and the system voltage."""
    point = load_tables.starter_stall_v()
    volts = given(point.value * system_v / 12.0, "U", "V", "voltage at which a starter that stands still takes its "
                  "running current: of the one starter on file, scaled to the system voltage", point.source.line)
    return number(apply(resistance_from_drop, drop_v=volts, current_a=running_a))


def heating_of(load: Load, mean_a: float, system_v: float, who: Who = NOBODY) -> float:
    """Effective over mean current of a load; 1 where it is not switched many times a second, or its current is not
    known."""
    if load.pulse_peak is None or not mean_a > 0:
        return 1.0
    peak = given(float(load.pulse_peak), "Iₚ", "A", "current of {words} at the height of a pulse",
                 "the plan, {path}.pulse_peak", who)
    ramp = load.pulse_shape == "ramp"
    form = given(RAMP_FORM if ramp else 1.0, "f", "-", "shape of the pulses of {words}: " + (
        "rising in a straight line from nothing" if ramp else "square"), "the plan, {path}.pulse_shape", who)
    return number(larger("never less than a steady current heats", 1.0, apply(
        heating_factor, peak_a=peak, mean_a=nominal(load, system_v, who)[0], form=form)))
