"""The standing car: what it draws parked, and how many days until it no longer starts."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.engine.battery import BatteryFacts
from fuseplan.engine.consumers import COIL, LOAD, STANDBY
from fuseplan.engine.network import Network
from fuseplan.engine.power import Balance
from fuseplan.formulas.charge import self_discharge_current
from fuseplan.formulas.durations import in_days
from fuseplan.formulas.standing import drain_days
from fuseplan.records import dataclass
from fuseplan.tables import batteries
from fuseplan.tables.load import Source
from fuseplan.trace import apply, cited, given, number, together

DRAIN_COMMON_A = 0.050
"""Upper end of the common range; the published guidelines run from 20 to 150 mA and disagree."""
_SELF_DISCHARGE = {"liquid": "antimony starter", "agm": "calcium AGM"}
_WORDS = {LOAD: "always on", STANDBY: "standby", COIL: "relay coil"}


@dataclass(frozen=True)
class Drain:
    """One thing that draws current while the car stands."""

    owner: tuple[str, str]
    what: str
    current_a: float
    consumer: int
    """Its number."""


@dataclass(frozen=True)
class Standing:
    """Standing drain in the condition the car is parked in. NaN where it cannot be worked out."""

    condition: int
    """-1 where the plan has no parked condition."""
    drain_a: float
    drain_upper_a: float
    drains: tuple[Drain, ...]
    """The largest first."""
    self_discharge_a: float
    self_discharge_source: Source
    usable_ah: float
    days: float
    """By the published sum, self-discharge left out; infinite where nothing draws."""
    days_with_self_discharge: float
    days_upper: float
    """At the upper bound of the evidence, with self-discharge: the fewest days."""
    wanted_days: float
    """How long the plan's parked condition lasts."""


def parked_condition(network: Network) -> int:
    """The condition a car is left standing in: the longest one with the key off; -1 for none."""
    off = [index for index, condition in enumerate(network.conditions)
           if condition.state == "off" and "hazard" not in condition.when]
    return max(off, key=lambda index: float(network.duration_s[index]), default=-1)


def standing_of(network: Network, balance: Balance, facts: BatteryFacts, kind: str) -> Standing:
    """Drain and days of a plan."""
    found = batteries.self_discharge_per_month(_SELF_DISCHARGE[kind], 20)
    share = cited(found, "s", "-", "self-discharge a month at 20 °C")
    own_a = number(apply(self_discharge_current, share=share, capacity_ah=facts.capacity_ah))
    index = parked_condition(network)
    if index < 0:
        return Standing(-1, math.nan, math.nan, (), own_a, found.source, facts.usable_ah, math.nan, math.nan, math.nan,
                        math.nan)
    drain, upper = (number(balance.demand_a[bound, index]) for bound in range(2))
    consumers, current = network.consumers, balance.average.consumer_a[index]
    drains = [Drain(consumers.owner[each], _WORDS[int(consumers.kind[each])], number(current[each]), each)
              for each in np.flatnonzero(current > 0).tolist()]
    return Standing(
        condition=index, drain_a=drain, drain_upper_a=upper,
        drains=tuple(sorted(drains, key=lambda each: -each.current_a)), self_discharge_a=own_a,
        self_discharge_source=found.source, usable_ah=facts.usable_ah, days=_days(facts.usable_ah, drain),
        days_with_self_discharge=_days(facts.usable_ah, _both(drain, own_a)),
        days_upper=_days(facts.usable_ah, _both(upper, own_a)),
        wanted_days=number(apply(in_days, time_s=given(
            float(network.duration_s[index]), "tₛ", "s", lambda: f"duration of '{network.condition_ids[index]}'",
            lambda: f"the plan, condition.{network.condition_ids[index]}.duration, or built in"))))


def _both(drain_a: float, own_a: float) -> float:
    return number(together("drain", [("all that draws", drain_a), ("self-discharge", own_a)]))


def _days(usable_ah: float, current_a: float) -> float:
    """Days a charge lasts; NaN where charge or current is not known, infinite where nothing draws."""
    if current_a == 0 and not math.isnan(usable_ah):
        return math.inf
    return number(apply(drain_days, usable_ah=usable_ah, current_a=current_a)) if current_a > 0 else math.nan
