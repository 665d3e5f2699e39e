"""Alternator output against demand in each condition."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.consumers import ALTERNATOR, INTERMITTENT, MOMENTARY
from fuseplan.engine.network import Network
from fuseplan.engine.solve import BOUNDS, Solution, Solved
from fuseplan.engine.source import Source
from fuseplan.formulas.power import balance
from fuseplan.records import dataclass
from fuseplan.trace import apply, bare, chosen, decided, given, smaller, total

STILL_A = 0.001
"""A battery current below this beside a running alternator is none."""
STILL_SHARE = 2e-5
"""And below this share of the alternator's output, which is more than settled voltages leave open."""


def still_a(available_a: ArrayLike) -> Floats:
    """Battery current in A that is none beside an alternator of this output (any shape)."""
    return np.maximum(STILL_A, STILL_SHARE * np.where(np.isfinite(available_a), available_a, 0.0))


@dataclass(frozen=True)
class Balance:
    """Currents in A per (bound, condition)."""

    demand_a: Floats
    """Average demand: every current weighed with its duty, at the voltage that results of it."""
    peak_a: Floats
    """All that is on together."""
    continuous_a: Floats
    """Loads in continuous and prolonged use, each weighed with its duty."""
    available_a: Floats
    """Hot output at the rotor speed, or what of it gets to the loads."""
    held_back: Flags
    """Where so much is lost between alternator and battery that not all of it gets there (bound, condition)."""
    balance_a: Floats
    """Output less average demand."""
    battery_a: Floats
    """Average current into the battery: negative is discharge, 0 when the alternator carries all."""
    bus_v: Floats
    """Battery post on average demand [V]."""
    average: Solution
    """The network on average demand."""


def average_share(network: Network) -> Floats | None:
    """Share of its current each consumer draws on average in every condition (C, L): its duty, 0 where it is off; None
    where every duty is 1."""
    consumers = network.consumers
    if not (consumers.duty[consumers.kind != ALTERNATOR] != 1.0).any():
        return None
    return np.where(consumers.on, consumers.duty, 0.0)


def average_demand(average: Solved, available_a: Floats) -> Floats:
    """Average demand beside what the alternator can give, both [A] (cases, C): where the machine just carries
    everything, what the solver leaves is no deficit."""
    network = average.network
    demand = average.cases.parted(total(
        average.consumer_a * _real(network), 1, "all that is on, each load weighed by its share of the time, at the "
        "voltage that results", network.names.consumer,
        follow=lambda place: bool(network.consumers.duty[place] != 1.0)))
    plain, output = bare(demand), bare(available_a)
    carried = decided(output, "I", "A", "the machine just carries everything: what the solution leaves is no deficit",
                      "limit of the solution's accuracy", demand, available_a)
    return np.asanyarray(chosen((np.abs(plain - output) < still_a(output)) & (output > 0), carried, demand, ""))


CYCLIC_SOURCE = ("loads that cycle, such as heaters and pumps, count by their duty: A. Ingle, Tech Time, January 2005, "
                 "quoting UK CAA AIL/0194")


def continuous_demand(average: Solved) -> Floats:
    """What is on for long, from the solution on average demand: a load that cycles counts by its duty, as the load
    analysis does that the limit is written for [A] (cases, C)."""
    network = average.network
    lasting = _real(network) & (network.consumers.use < INTERMITTENT)
    return np.asanyarray(average.cases.parted(total(
        average.consumer_a * lasting, 1, "what is in continuous and prolonged use, each load weighed by its share of "
        "the time", network.names.consumer, cite=CYCLIC_SOURCE,
        follow=lambda place: bool(network.consumers.duty[place] != 1.0))))


def alternator_gives(solution: Solved) -> Floats:
    """What the alternator gives in a solution [A] (cases, C)."""
    machine = bare(solution.consumer_a)[:, ~_real(solution.network)]
    return np.asarray(solution.cases.parted(-machine.sum(axis=1)))


def held_back(solution: Solved, available_a: Floats) -> Flags:
    """Where the battery gives although the alternator could give more: its terminal has the regulator voltage, and the
    post less than a battery at rest (cases, C).

    Args:
        available_a: hot output [A] (C,)
    """
    still = still_a(available_a)
    battery = solution.cases.parted(bare(solution.consumer_a).sum(axis=1))
    return np.asarray((available_a > 0) & (battery > still) & (alternator_gives(solution) < available_a - still))


def together_demand(solution: Solved) -> Floats:
    """All that is on together, from the solution of it, momentary loads left out: the battery supplies those [A]
    (cases, C)."""
    counted = _real(solution.network) & (solution.network.consumers.use < MOMENTARY)
    return np.asarray(solution.cases.parted((solution.consumer_a * counted).sum(axis=1)))


def _real(network: Network) -> Flags:
    """All that draws (L,)."""
    return np.asarray(network.consumers.kind != ALTERNATOR)


def balance_of(network: Network, solution: Solution, average: Solution, source: Source) -> Balance:
    """Balance of every condition at both ends of the evidence.

    The average is a solution of its own: a machine that cannot feed everything at once may well hold its voltage
    on average, and the demand follows the voltage.
    """
    hot = np.stack([source.available_a] * BOUNDS)
    kept = held_back(average, bare(source.available_a))
    available = np.asanyarray(chosen(kept, average.cases.parted(average.alternator_a), hot, ""))
    peak = solution.cases.parted(total(solution.consumer_a * _real(network), 1, "all that is on together",
                                       network.names.consumer))
    demand = average_demand(average, available)
    over = np.asanyarray(apply(balance, available_a=available, demand_a=demand))
    full = given(0.0, "B", "A", "a full battery takes nothing worth counting", "common practice, no source")
    battery = np.asanyarray(smaller("what the battery gives", over, full))
    return Balance(demand_a=demand, peak_a=peak, continuous_a=continuous_demand(average), available_a=available,
                   held_back=kept, balance_a=over, battery_a=battery,
                   bus_v=average.cases.parted(average.root_v), average=average)
