"""The figures of one condition: battery, alternator and demand."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fuseplan.plan.model import Condition
from fuseplan.quantities.writing import minutes_left
from fuseplan.results.naming import condition_words
from fuseplan.results.part import Part, entry, figure, figure_of
from fuseplan.results.solved_plan import SolvedPlan, known


class ConditionResult(Part):
    """Alternator and battery in one condition, on average demand unless it says otherwise; null where it is not known,
    or is never."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return condition_words(self.solved.results.network, self.index)

    @property
    def condition(self) -> Condition:
        """As it stands in the plan or among the built-in ones."""
        return self.solved.results.network.conditions[self.index]

    @property
    def balance_known(self) -> bool:
        """The alternator's output is known, or does not count."""
        return self.solved.results.balance_known(self.index)

    @entry("name in the plan")
    def id(self) -> str:
        return self.solved.condition_ids[self.index]

    @entry("name in words")
    def name(self) -> str:
        return self.condition.name or self.id

    @entry("state of the key")
    def state(self) -> str:
        return self.condition.state

    @figure("engine speed", unit="r/min", side="stated")
    def engine_rpm(self) -> float:
        return float(self.condition.engine)

    rotor_rpm = figure_of(lambda part: part.solved.results.source.rotor_rpm[part.index],
                          "rotor speed of the alternator", unit="r/min", side="limit")
    bus_v = figure_of(lambda part: part.solved.results.solution.root_v[part.index],
                      "lowest voltage of the battery post, everything on at once",
                      unit="V", side="limit", from_network=True)

    @figure("voltage of the battery post", unit="V", side="limit", from_network=True)
    def average_bus_v(self) -> float | None:
        return self._balance("bus_v")

    @figure("average demand", unit="A", side="burden")
    def demand_a(self) -> float | None:
        return self._balance("demand_a")

    @figure("demand with everything on at once", unit="A", side="burden")
    def peak_a(self) -> float | None:
        return self._balance("peak_a")

    @figure("continuous demand: what is on for more than five minutes, each load by its duty", unit="A", side="burden")
    def continuous_a(self) -> float | None:
        return self._balance("continuous_a")

    @figure("hot output of the alternator, or what of it gets to the loads", unit="A", side="limit")
    def available_a(self) -> float | None:
        return self._with_output("available_a")

    @figure("output less average demand", unit="A", side="balance")
    def balance_a(self) -> float | None:
        return self._with_output("balance_a")

    @figure("output less average demand, every current at its worst case", unit="A", side="balance")
    def balance_upper_a(self) -> float | None:
        return known(self.solved.results.balance.balance_a[1, self.index]) if self.balance_known else None

    @figure("current into the battery; negative is discharge", unit="A", side="balance")
    def battery_a(self) -> float | None:
        return self._with_output("battery_a")

    @figure("current the alternator delivers, charging left out", unit="A", side="limit", from_network=True)
    def alternator_a(self) -> float | None:
        return known(self.solved.results.balance.average.alternator_a[self.index]) if self.balance_known else None

    @figure("battery discharge once the voltage has been low, for example after starting, although the alternator "
            "could hold its regulator voltage; 0 where it gets back to it", unit="A", side="burden", from_network=True)
    def discharge_if_low_a(self) -> float | None:
        return known(self.solved.results.discharge_if_low_a[0, self.index]) if self.balance_known else None

    continuous_share = figure_of(lambda part: part.solved.results.power.alternator.share_of_rated[0, part.index],
                                 "continuous demand over the rated output", unit="share", side="burden")
    peak_share = figure_of(lambda part: part.solved.results.power.alternator.peak_share[0, part.index],
                           "everything on at once over the rated output", unit="share", side="burden")
    shaft_w = figure_of(lambda part: part.solved.results.power.alternator.shaft_w[part.index],
                        "power the alternator takes from the belt", unit="W", side="burden", from_network=True)
    flat_min = figure_of(lambda part: part.flat_s / 60.0,
                         "time to a flat battery", unit="min", side="limit", written=minutes_left)
    no_start_min = figure_of(lambda part: part.no_start_s / 60.0,
                             "time until the car no longer starts", unit="min", side="limit", written=minutes_left)

    @property
    def flat_s(self) -> float:
        """Time to a flat battery [s]; infinite where it is not discharged, NaN where it is not known."""
        return self.solved.results.power.flat_s(self.index) if self.balance_known else math.nan

    @property
    def no_start_s(self) -> float:
        """Time until the car no longer starts [s], as `flat_s`."""
        return self.solved.results.power.no_start_s(self.index) if self.balance_known else math.nan

    @property
    def held_back(self) -> bool:
        """Whether not all of the output gets to the loads, as too much is lost on the way to the battery."""
        return bool(self.solved.results.balance.held_back[0, self.index])

    @property
    def least_balance_a(self) -> float:
        """Output less average demand where an output that is not given counts as none [A]; NaN where nothing is
        known: what conditions are put in order by."""
        return float(self.solved.results.balance.balance_a[0, self.index])

    def _balance(self, name: str) -> float | None:
        return known(getattr(self.solved.results.balance, name)[0, self.index])

    def _with_output(self, name: str) -> float | None:
        """A figure that rests on the alternator's output; None where that is not known."""
        return self._balance(name) if self.balance_known else None


def worst_running(conditions: Iterable[ConditionResult]) -> ConditionResult | None:
    """The condition with the engine running whose balance is worst, None without one. Where no output is known it is
    that of the largest demand."""
    running = [view for view in conditions if view.state == "running" and not math.isnan(view.least_balance_a)]
    return min(running, default=None, key=lambda view: view.least_balance_a)
