"""The whole car's power, worked out part by part when asked for."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.alternator import Machine, highest_rotor_rpm, machine_of
from fuseplan.engine.alternator_cable import AlternatorCable, alternator_cable_of
from fuseplan.engine.alternator_size import AlternatorSize, recommended_size
from fuseplan.engine.battery import BatteryFacts, Reserve, facts_of, reserve
from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.cranking import Cranking, cranking_of
from fuseplan.engine.cranking_dip import Dip, dip_of
from fuseplan.engine.cures import Cure, cures_of
from fuseplan.engine.loads_table import Detail, LoadsTable, details_of, essential_consumers, running, table_of
from fuseplan.engine.results import Results
from fuseplan.engine.scenario import rows, weighed
from fuseplan.engine.shedding import Shed, shedding_of
from fuseplan.engine.solve import solve
from fuseplan.engine.source import ratio_of
from fuseplan.engine.speed_curve import SpeedCurve, speed_curve
from fuseplan.engine.standing import Standing, standing_of
from fuseplan.engine.trip import TripResult, drive
from fuseplan.engine.views import Kept
from fuseplan.formulas.alternator import engine_speed, shaft_power
from fuseplan.formulas.charge import deficit
from fuseplan.formulas.load import load_current
from fuseplan.formulas.power import chain_efficiency, continuous_share
from fuseplan.formulas.pulsed import average_current
from fuseplan.plan.conditions import trips_of
from fuseplan.records import dataclass
from fuseplan.tables import alternators
from fuseplan.tables.load import table
from fuseplan.trace import apply, cited, number, total
from fuseplan.trace import given as leaf

SAGGED = 0.8
"""A battery under load falls no lower than this share of its rested voltage before a car has long stopped."""


@dataclass(frozen=True)
class AlternatorFacts:
    """The alternator of a plan; NaN where a figure is not known."""

    machine: Machine
    pulley_ratio: float
    pulley_given: bool
    highest_rotor_rpm: float
    highest_is_own: bool
    highest_source: str
    highest_engine_rpm: float
    """Engine speed at which the rotor reaches its highest speed."""
    shaft_w: Floats
    """Power taken from the belt in each condition, on average demand (C,)."""
    share_of_rated: Floats
    """Loads in continuous and prolonged use over the rated output (bound, C)."""
    peak_share: Floats
    """Everything on together over the rated output (bound, C)."""
    efficiency: float
    fuel_share: float
    """Share of the fuel's energy that arrives as electricity."""


class Power:
    """Power figures of one solved plan. Each part is worked out once, when first asked for."""

    def __init__(self, results: Results) -> None:
        self.results = self.viewed = results

    @Kept
    def battery(self) -> BatteryFacts:
        """The battery, its resistance and what follows from it."""
        return facts_of(self.results.plan.battery, self.results.network.system_v)

    @Kept
    def alternator(self) -> AlternatorFacts:
        """The alternator and its hot output."""
        results = self.results
        given = results.plan.alternator
        ratio = None if given is None else given.pulley_ratio
        top, own, words = highest_rotor_rpm(given)
        top = leaf(top, "n", "rpm", f"highest rotor speed: {words}", "the plan, alternator.max_speed" if own else words)
        efficiency = cited(alternators.efficiency(), "η", "-", "efficiency of the alternator")
        rated = results.source.rated_a
        conditions = len(results.network.conditions)
        delivered = results.balance.average.alternator_a[:conditions]
        in_use = ratio_of(given)
        parts = table("alternator_efficiency")
        engine, belt = (parts.known("part", part, "efficiency") for part in ("engine", "belt"))
        return AlternatorFacts(
            machine=machine_of(given), pulley_ratio=in_use, pulley_given=ratio is not None, highest_rotor_rpm=top,
            highest_is_own=own, highest_source=words,
            highest_engine_rpm=number(apply(engine_speed, rotor=top, ratio=in_use)),
            shaft_w=np.asanyarray(apply(shaft_power, voltage=results.source.highest_v, current=delivered,
                                        efficiency=efficiency)),
            share_of_rated=np.asanyarray(apply(continuous_share, continuous_a=results.balance.continuous_a,
                                               rated_a=rated)),
            peak_share=np.asanyarray(apply(continuous_share, continuous_a=results.balance.peak_a, rated_a=rated)),
            efficiency=efficiency, fuel_share=number(apply(
                chain_efficiency, engine=cited(engine, "η", "-", "efficiency of the engine"),
                belt=cited(belt, "η", "-", "efficiency of the belt"), alternator=efficiency)))

    @Kept
    def loads(self) -> LoadsTable:
        """The loads as the balance counts them."""
        return table_of(self.results.network, self.results.solution, self.results.balance)

    def details(self, condition: int) -> tuple[Detail, ...]:
        """Every consumer of a condition, the largest average first."""
        return details_of(self.results.network, self.results.solution, self.results.balance, condition)

    @Kept
    def worst(self) -> int:
        """The running condition with the least balance; -1 where the engine never runs."""
        balance = self.results.balance.balance_a[0]
        return min(running(self.results.network), key=lambda index: float(balance[index]), default=-1)

    @Kept
    def cranking(self) -> Cranking:
        """Voltages while cranking."""
        return cranking_of(self.results.network, self.results.source, self.results.solution,
                           self.results.fuse_ohm)

    @Kept
    def dip(self) -> Dip | None:
        """The first instant of cranking; None where the starter's inrush is not given."""
        return dip_of(self.results.network, self.results.source, self.results.fuse_ohm, self.cranking)

    @Kept
    def alternator_cable(self) -> AlternatorCable | None:
        """Current and voltage drop of the alternator's cable."""
        return alternator_cable_of(self.results.network, self.results.source, self.results.solution)

    @Kept
    def standing(self) -> Standing:
        """Standing drain, and how long the car can stand."""
        battery = self.results.plan.battery
        return standing_of(self.results.network, self.results.balance, self.battery,
                           "liquid" if battery is None else battery.kind)

    def flat_s(self, condition: int, bound: int = 0) -> float:
        """Time in s to flat at a condition's average deficit; infinite without one, NaN where it is not known."""
        return self.battery.flat_s(self._deficit_a(condition, bound))

    def no_start_s(self, condition: int, bound: int = 0) -> float:
        """Time in s until the car no longer starts, at a condition's average deficit."""
        return self.battery.no_start_s(self._deficit_a(condition, bound))

    def _deficit_a(self, condition: int, bound: int) -> float:
        return number(apply(deficit, balance_a=self.results.balance.battery_a[bound, condition]))

    @Kept
    def has_essentials(self) -> bool:
        """Whether any load is marked essential."""
        return bool(self.results.network.marked.get("essential"))

    @Kept
    def reserves(self) -> tuple[Reserve, ...]:
        """Reserve after an alternator failure in each running condition; none without capacity or essential loads."""
        chosen = running(self.results.network)
        if not chosen or not self.has_essentials or math.isnan(self.battery.capacity_ah):
            return ()
        network, source = rows(weighed(self.results.network), self.results.source, [*chosen, *chosen])
        on, count = network.consumers.on.copy(), len(chosen)
        on[count:] &= essential_consumers(network)
        dead = replace(source, available_a=np.zeros(2 * count))
        current = solve(network, dead, self.results.fuse_ohm, on).consumer_a[:2 * count]
        sums = total(current * (network.consumers.kind != ALTERNATOR), 1, "with the alternator dead, each load weighed "
                     "by its share of the time", network.names.consumer)
        normal, essential = sums[:count], sums[count:]
        return tuple(reserve(self.battery, index, number(normal[place]), number(essential[place]))
                     for place, index in enumerate(chosen))

    @Kept
    def least_reserve_s(self) -> float:
        """A time no reserve is shorter than, without solving the network; infinite where there is no reserve.

        Every load without its drops: at the battery's rested voltage, or where it draws more the lower the voltage is,
        at `SAGGED` of it.
        """
        network, consumers = self.results.network, self.results.network.consumers
        chosen = list(running(network))
        if not chosen or not self.has_essentials or math.isnan(self.battery.capacity_ah):
            return math.inf
        volts = self.battery.open_circuit_v * np.where(consumers.exponent < 0, SAGGED, 1.0)
        most = load_current(average_current(consumers.reference_a, consumers.duty), volts, consumers.reference_v,
                            consumers.exponent) * (consumers.kind != ALTERNATOR)
        on, needed = consumers.on[chosen], essential_consumers(network)
        return min(reserve(self.battery, index, float(normal), float(essential)).total_s for index, normal, essential in
                   zip(chosen, on @ most, (on & needed) @ most, strict=True))

    @Kept
    def _curves(self) -> dict[tuple[int, int], SpeedCurve]:
        return {}

    def curve(self, condition: int, bound: int = 0) -> SpeedCurve | None:
        """Output and demand over engine speed; None where the alternator is not known."""
        if not self.results.source.alternator_known or condition < 0:
            return None
        if (condition, bound) not in self._curves:
            self._curves[condition, bound] = speed_curve(
                self.results.network, self.results.source, self.alternator.machine, self.alternator.pulley_ratio,
                self.results.fuse_ohm, condition, bound)
        return self._curves[condition, bound]

    @Kept
    def _cures(self) -> dict[int, tuple[Cure, ...]]:
        return {}

    @Kept
    def alternator_size(self) -> AlternatorSize | None:
        """The size of alternator recommended wherever one is; None where none is known or sold that is enough."""
        return recommended_size(self.results)

    @Kept
    def _sheds(self) -> dict[int, tuple[Shed, ...]]:
        return {}

    def cures(self, condition: int) -> tuple[Cure, ...]:
        """What would close the gap in a running condition; none where there is no gap."""
        if condition not in self._cures:
            self._cures[condition] = cures_of(self.results, condition) if self._gap(condition) else ()
        return self._cures[condition]

    def shedding(self, condition: int) -> tuple[Shed, ...]:
        """What to switch off in a running condition; none where there is no gap."""
        if condition not in self._sheds:
            self._sheds[condition] = shedding_of(self.results, condition) if self._gap(condition) else ()
        return self._sheds[condition]

    def _gap(self, condition: int) -> bool:
        return condition in running(self.results.network) and self.results.source.alternator_known \
            and float(self.results.balance.balance_a[0, condition]) < 0

    @Kept
    def trips(self) -> tuple[str, ...]:
        """Names of the trips that can be driven, the built-in ones first."""
        return tuple(trips_of(self.results.plan))

    def trip(self, name: str) -> TripResult | None:
        """Drive a trip; None where the battery's capacity is not known. KeyError for an unknown name."""
        return drive(self.results.network, self.results.source, self.results.fuse_ohm, self.battery,
                     trips_of(self.results.plan)[name], name)
