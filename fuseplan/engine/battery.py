"""The battery: what its label promises, and how long it lasts against a current."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.source import COLD_TEST_C, charge_of, cold_share, internal_ohm, open_circuit_v
from fuseplan.errors import TableError
from fuseplan.formulas.battery import charge_spent
from fuseplan.formulas.charge import charge_counted_on, charge_left, charge_missing, charge_stored
from fuseplan.formulas.durations import in_seconds, seconds_later
from fuseplan.formulas.endurance import (
    current_ratio,
    current_taken,
    endurance,
    peukert_time,
    rate_factor,
    rated_current,
    time_at_charge,
    time_to_spend,
)
from fuseplan.formulas.standing import usable_before_no_start
from fuseplan.plan.model import Battery
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import batteries
from fuseplan.tables.load import Cited
from fuseplan.trace import apply, cited, decided, given, larger, number

RATED_H = 20.0
"""Hours the capacity of the label is stated at."""
SECONDS_PER_HOUR = 3600.0
ACCEPTANCE_SHARE = 0.2
"""Charging current a discharged battery takes, as a share of its 20-hour capacity in an hour."""
ACCEPTANCE_FALLS_FROM = 0.8
"""State of charge from which the charging current falls, in a straight line to nothing at full charge."""
CHARGE_EFFICIENCY = 0.85
"""Charge stored of the charge put in."""
ACCEPTANCE_BASIS = (f"{writing.stated(ACCEPTANCE_SHARE, 'share')} of the 20-hour capacity up to "
                    f"{writing.stated(ACCEPTANCE_FALLS_FROM, 'share')} charge, then in a straight line to nothing at "
                    f"full; {writing.stated(CHARGE_EFFICIENCY, 'share')} of it is stored. Common practice, no source")


NO_CAPACITY = "neither capacity nor reserve capacity is given"


@dataclass(frozen=True)
class BatteryFacts:
    """What is known of the battery; NaN where it is not."""

    capacity_ah: float
    """20-hour capacity in force."""
    capacity_basis: str
    reserve_conversions_ah: dict[str, Cited[float]]
    """Capacity by each published conversion of the reserve minutes; they differ."""
    charge: float
    """State of charge at the start, 0 to 1."""
    open_circuit_v: float
    warm_ohm: float
    cold_ohm: float
    """Internal resistance while cranking."""
    resistance_basis: str
    peukert: float
    peukert_basis: str
    no_start_share: Cited[float]
    freezing_c: Cited[float] | None
    """Temperature at which the acid freezes at this charge."""
    system_v: float

    @property
    def usable_ah(self) -> float:
        """Charge that may go before the car no longer starts, from its charge at the start: the published share of
        the capacity, less what is already missing."""
        share = cited(self.no_start_share, "s", "-", NO_START_WORDS)
        may_go = apply(usable_before_no_start, capacity_ah=self.capacity_ah, share=share)
        missing = apply(charge_missing, charge=self.charge, capacity_ah=self.capacity_ah)
        left = apply(charge_left, may_go_ah=may_go, missing_ah=missing)
        return number(larger("what is left of that, never below nothing", left, 0.0))

    def open_v_at(self, charge: Floats) -> Floats:
        """Rested voltage at states of charge (any shape); where the plan gives a rested voltage, the published curve
        is shifted to pass through it."""
        scale = self.system_v / 12.0
        held = np.clip(np.asarray(charge, dtype=float), 0.0, 1.0)
        here = float(batteries.ocv_from_soc(self.charge)) * scale
        return np.asarray(batteries.ocv_from_soc(held)) * scale + (self.open_circuit_v - here)

    def acceptance_a(self, charge: Floats) -> Floats:
        """Charging current the battery takes at states of charge (any shape)."""
        falling = (1.0 - np.asarray(charge, dtype=float)) / (1.0 - ACCEPTANCE_FALLS_FROM)
        return np.asarray(ACCEPTANCE_SHARE * self.capacity_ah * np.clip(falling, 0.0, 1.0))

    def taken_a(self, current_a: Floats | float) -> Floats:
        """What a discharge current takes from the rated capacity, by Peukert's law (any shape) [A]: the one law by
        which reserve, time to flat, time to a no-start and trips discharge this battery. What it takes in counts in
        plain ampere hours."""
        found: Floats = apply(current_taken, current_a=current_a, factor=self.rate_factor(current_a))
        return found

    def rate_factor(self, current_a: Floats | float) -> Floats:
        """How much more than its own charge a discharge current takes from the rated capacity (any shape):
        Peukert's law in the 20-hour form, 1 at the 20-hour current and below."""
        twenty_hour_a = apply(rated_current, capacity_ah=self.capacity_ah, rated_h=_rated_h())
        ratio = apply(current_ratio, current_a=current_a, rated_a=twenty_hour_a)
        least = given(1.0, "i", "-", "at or below the 20-hour current the law gives nothing away",
                      "common practice, no source")
        found: Floats = apply(rate_factor, ratio=np.maximum(ratio, least), n=self.peukert)
        return found

    def flat_s(self, current_a: float) -> float:
        """Time in s to flat at a steady discharge current, from its charge at the start; infinite for none."""
        if current_a <= 0:
            return math.inf
        n = self.peukert if current_a > self.capacity_ah / RATED_H else given(
            1.0, "n", "-", "at or below the 20-hour current the law gives nothing away", "common practice, no source")
        hours = apply(peukert_time, capacity_ah=self.capacity_ah, rated_h=_rated_h(), current=current_a, n=n)
        return number(apply(in_seconds, time_h=apply(time_at_charge, full_h=hours, charge=self.charge)))

    def no_start_s(self, current_a: float) -> float:
        """Time in s until the car no longer starts, at a steady discharge current."""
        if current_a <= 0:
            return math.inf
        return number(apply(in_seconds, time_h=apply(
            time_to_spend, charge_ah=self.usable_ah, current_a=number(self.taken_a(current_a)))))

    @property
    def frost_c(self) -> float:
        """Temperature at which the acid freezes at this charge [°C]; NaN where none is printed."""
        found = self.freezing_c
        return math.nan if found is None else decided(
            found.value, "T", "°C", "the acid freezes at that charge, next printed row down", found.source.line(),
            self.charge)


NO_START_WORDS = "share of the capacity that may go before the car no longer starts"


def _rated_h() -> float:
    return given(RATED_H, "H", "h", "hours the capacity is stated at", "definition of the 20-hour capacity")


def facts_of(battery: Battery | None, system_v: float) -> BatteryFacts:
    """Facts of a plan's battery."""
    conversions = {} if battery is None or battery.reserve_capacity is None else \
        batteries.reserve_capacity_ah(float(battery.reserve_capacity) / 60.0)
    capacity, basis = _capacity(battery, conversions)
    charge = charge_of(battery)
    peukert = None if battery is None else battery.peukert
    default = batteries.peukert_default("liquid" if battery is None else battery.kind)
    return BatteryFacts(
        capacity_ah=given(capacity, "C", "A·h", basis, "the plan, battery"), capacity_basis=basis,
        reserve_conversions_ah=conversions, charge=charge,
        open_circuit_v=open_circuit_v(battery, system_v), warm_ohm=internal_ohm(battery, system_v, cold=False),
        cold_ohm=internal_ohm(battery, system_v, cold=True), resistance_basis=_resistance_basis(battery),
        peukert=given(default.value if peukert is None else peukert, "n", "-", "Peukert exponent",
                      lambda: default.source.line() if peukert is None else "the plan, battery.peukert"),
        peukert_basis=default.source.line() if peukert is None else "as entered",
        no_start_share=batteries.no_start_share(), freezing_c=batteries.freezing_c(float(charge)), system_v=system_v)


def _capacity(battery: Battery | None, conversions: dict[str, Cited[float]]) -> tuple[float, str]:
    if battery is not None and battery.capacity is not None:
        return float(battery.capacity), "20-hour capacity as entered"
    if conversions:
        least = min(conversions.values(), key=lambda each: each.value)
        both = " and ".join(writing.limit(each.value, "Ah") for each in conversions.values())
        return least.value, (f"from the reserve capacity; the published conversions give {both}, the lower is used: "
                             f"{least.source.line()}")
    return math.nan, NO_CAPACITY


def _resistance_basis(battery: Battery | None) -> str:
    if battery is None:
        return "no battery given; that of a small, tired one. Common practice, no source"
    if battery.internal_resistance is not None:
        return "as entered"
    if not battery.cold_crank:
        return "no cold-cranking current given; that of a small, tired battery. Common practice, no source"
    try:
        test = batteries.cold_crank_test(battery.cold_crank_test.lower())
    except TableError:  # pragma: no cover - the plan's own vocabulary is the table's
        return "the cold-cranking test is not on file"
    cranking, otherwise = cold_share(battery, True), cold_share(battery, False)
    return (f"from the cold-cranking current: {test.words}, {writing.stated(test.end_v, 'V')} after "
            f"{writing.stated(test.duration_s, 's')} at {writing.stated(COLD_TEST_C, '°C')} ({test.source.line()}); "
            f"{writing.stated(cranking, 'share')} of it while cranking and {writing.stated(otherwise, 'share')} "
            "otherwise, from memory")


@dataclass(frozen=True)
class Reserve:
    """How long the essential loads run once the alternator has failed, in one condition. Currents in A."""

    condition: int
    normal_a: float
    """All loads, on the battery, until the failure is noticed."""
    essential_a: float
    recognise_s: float
    usable_ah: float
    total_s: float
    """From the failure on, what is needed to notice it included."""


RECOGNISE_S = 300.0
"""Time to notice the failure and switch off what is not essential, as in the published method."""
RESERVE_WANTED_S = 1800.0
"""What the published method asks for: 30 minutes. Written for aircraft; no figure for cars is on file."""
RESERVE_SOURCE = ("currents by Peukert's law; 75 % of the capacity, "
                  "5 minutes to notice and shed, 30 minutes wanted: the battery reserve of an "
                  "aircraft load analysis (avionics installation manual 190-02246-10, p. 3-38; 14 CFR 23.1353(h))")


def reserve(facts: BatteryFacts, condition: int, normal_a: float, essential_a: float) -> Reserve:
    """Reserve by the published method: a share of the capacity, less what is spent before the loads are shed; both
    currents by what they take from the rated capacity."""
    share = cited(batteries.usable_share(), "s", "-", "share of the capacity counted on")
    held = apply(charge_stored, capacity_ah=facts.capacity_ah, charge=facts.charge)
    notice = f"{writing.stated(RECOGNISE_S, 's')} to notice and switch off what is not essential"
    normal, essential = (number(facts.taken_a(each)) for each in (normal_a, essential_a))
    spent = apply(charge_spent, current_a=normal,
                  time_h=given(RECOGNISE_S / SECONDS_PER_HOUR, "t", "h", notice, RESERVE_SOURCE))
    usable = number(apply(charge_counted_on, share=share, stored_ah=held))
    if usable <= 0:
        total = given(0.0, "tₛ", "s", "nothing is left to run on", RESERVE_SOURCE)
    elif spent >= usable:
        total = number(apply(in_seconds, time_h=apply(time_to_spend, charge_ah=usable, current_a=normal)))
    elif essential_a > 0:
        after = apply(endurance, capacity_ah=held, spent_ah=spent, current_a=essential, usable_share=share)
        total = number(apply(seconds_later, first_s=given(RECOGNISE_S, "t₁", "s", notice, RESERVE_SOURCE),
                             time_h=after))
    else:
        total = math.inf
    return Reserve(condition, normal_a, essential_a, RECOGNISE_S, usable, total)
