"""Whether each device withstands its loads' inrush current.

A usual inrush, a multiple of the running current on a stiff supply, is limited by battery and wires; one the plan gives
is taken as it stands, but never above what the circuit lets through at all. A lamp's inrush decays: it counts as the
pulse of its peak that has its heat.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import least_time_s
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.demand import Demands
from fuseplan.engine.devices import Devices
from fuseplan.engine.fault import least_way_ohm
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.network import Network
from fuseplan.engine.source import regulator_voltage_of, strongest_ohm
from fuseplan.formulas.inrush import equal_pulse, inrush_current, limited_inrush, surge_decay
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.trace import bare

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

DECAYS_ABOVE = 3.0
"""A lamp's surge of at least this multiple falls to twice the running current in its length; a pulse of its peak with
its heat is then shorter than that. A smaller one counts as a pulse of its whole length."""
SHORT_PULSE_S = 0.1
"""Up to this length a surge may be judged by its heat against the melting I²t, above by its time alone."""
PULSES = 100_000
"""Surges in a life: the published pulse table's longest row."""
RIDES, DOES_NOT, UNKNOWN = 1, 0, -1


class StartSurge(NamedTuple):
    """Several circuits that come on together, behind one fuse of a feed."""

    device: int
    loads: Ints
    """Those whose surge lasts as long as the one looked at."""
    through_a: tuple[float, float]
    """As entered, and at the worst-case currents."""
    length_s: float
    assumed: bool
    rides: tuple[int, int]


@dataclass(frozen=True)
class Inrush:
    """Per consumer (L,): the surge through the device that guards its circuit when it is switched on last."""

    peak_a: Floats
    """Own surge alone."""
    through_a: Floats
    """Surge, those of the loads that start together with it and last as long, and everything else on together behind
    the device."""
    length_s: Floats
    """Of a lamp the length of a pulse of the peak current with the surge's heat."""
    assumed: Flags
    """Multiple or length is the usual one of its kind, not the plan's."""
    rides: Ints
    """`RIDES`, `DOES_NOT`, or `UNKNOWN` where nothing on file answers."""
    worst_through_a: Floats
    """The surge through the device at the worst-case currents."""
    worst_rides: Ints
    """The same of that one."""
    device: Ints
    heat_a2s: Floats
    starts: tuple[StartSurge, ...] = ()
    """The worst start of several circuits behind each fuse of a feed."""


def inrush_of(network: Network, demands: Demands, devices: Devices) -> Inrush:
    """Surges of all loads, from their running currents as entered and at their upper bounds."""
    consumers = network.consumers
    peak = _peaks(network, demands.load[:, FIVE_S])
    lamps = np.array([kind == "lamp" for kind in consumers.load_kind], dtype=bool) & (consumers.inrush >= DECAYS_ABOVE)
    decay = surge_decay(consumers.inrush_s, np.where(lamps, consumers.inrush, DECAYS_ABOVE))
    member = consumers.circuit >= 0
    device = np.full(consumers.count, -1, dtype=np.int64)
    device[member] = network.guard[network.circuit_node[consumers.circuit[member]]]
    guarded = device >= 0
    through, lengths, rides = [], [], []
    for running, surge, circuit, supply in zip(demands.load[:, FIVE_S], peak, demands.circuit[:, FIVE_S],
                                               demands.supply[:, FIVE_S], strict=True):
        behind = np.zeros(consumers.count)
        behind[member] = circuit[consumers.circuit[member]]
        if guarded.any():
            behind[guarded] = np.maximum(behind[guarded], supply[network.fuse_node[device[guarded]]])
        through.append(surge + np.maximum(behind - running, 0.0) + _overlapping(network, surge, running))
        steady = np.maximum(behind, running)
        above = np.maximum(through[-1] - steady, 0.0)
        with np.errstate(invalid="ignore"):
            short = np.nan_to_num(equal_pulse(decay, above, steady))
        lengths.append(np.where(lamps, short, consumers.inrush_s))
        asked = np.where((consumers.kind == LOAD) & (running > 0), device, -1)
        rides.append(_rides(devices, asked, through[-1], lengths[-1]))
    starts = _starts(network, devices, demands, peak, lengths)
    return Inrush(starts=starts, peak_a=peak[0], through_a=through[0], length_s=lengths[0],
                  assumed=consumers.inrush_assumed, rides=rides[0], worst_through_a=through[1], worst_rides=rides[1],
                  device=device, heat_a2s=through[0]**2 * lengths[0])


def _overlapping(network: Network, surge_a: Floats, running_a: Floats) -> Floats:
    """What the surges of others that start together with each load and last as long add to what they draw running
    (L,) [A]."""
    found = np.zeros(len(surge_a))
    first, second = network.overlaps
    longer = network.consumers.inrush_s[second] >= network.consumers.inrush_s[first]
    np.add.at(found, first[longer], np.maximum(surge_a - running_a, 0.0)[second[longer]])
    return found


def _starts(network: Network, devices: Devices, demands: Demands, peak_a: Floats, lengths_s: list[Floats]
            ) -> tuple[StartSurge, ...]:
    """Of the starts behind each fuse of a feed the worst that its fuse may not withstand, else none."""
    starts = network.shared_starts
    if not starts.load.size:
        return ()
    running, lengths = demands.load[:, FIVE_S], lengths_s[0]
    order = np.lexsort((-lengths[starts.load], starts.start))
    loads, number = starts.load[order], starts.start[order]
    first = np.searchsorted(number, number)
    # Surges that last as long as the one looked at, or longer: the sum from the longest of its start down to it.
    summed = np.cumsum(np.maximum(peak_a - running, 0.0)[:, loads], axis=1)
    before = np.where(first > 0, summed[:, first - 1], 0.0)
    device = starts.device[number]
    through = summed - before + demands.supply[:, FIVE_S, network.fuse_node[device]]
    rides = np.stack([_rides(devices, device, each, lengths[loads]) for each in through])
    found: dict[int, StartSurge] = {}
    for place in np.flatnonzero((rides == DOES_NOT).any(axis=0)).tolist():
        members = loads[first[place]:place + 1]
        surge = StartSurge(int(device[place]), members, (float(through[0, place]), float(through[1, place])),
                           float(lengths[loads[place]]), bool(network.consumers.inrush_assumed[members].any()),
                           (int(rides[0, place]), int(rides[1, place])))
        held = found.get(surge.device)
        if held is None or _gravity(surge) > _gravity(held):
            found[surge.device] = surge
    return tuple(found.values())


def _gravity(surge: StartSurge) -> tuple[bool, bool, float]:
    return not surge.assumed, surge.rides[0] == DOES_NOT, surge.through_a[0] ** 2 * surge.length_s


def _peaks(network: Network, running_a: Floats) -> Floats:
    """Surge of each load alone (case, L) [A], through the least resistance of battery and wires: warm battery, wires at
    20 °C, fuses and what is not known left out."""
    consumers, plan = network.consumers, network.plan
    way = least_way_ohm(network, np.zeros(len(network.fuses))) + strongest_ohm(plan.battery, network.system_v)
    volts = regulator_voltage_of(plan.alternator, network.system_v)
    usual = limited_inrush(running_a, consumers.inrush, way, volts)
    stated = np.minimum(inrush_current(running_a, consumers.inrush), np.maximum(volts / way, running_a))
    return np.asarray(bare(np.where(np.isnan(consumers.inrush_given), np.maximum(usual, running_a), stated)))


def allowed_heat_a2s(kind: str, rating_a: float) -> float:
    """Heat of a surge a device bears `PULSES` times; NaN where no melting I²t is on file."""
    melting = fuse_tables.melting_i2t_a2s(kind, rating_a)
    return np.nan if melting is None else fuse_tables.pulse_fraction(PULSES).value * melting.value


def judged(kind: str, rating_a: float, through_a: Floats, length_s: Floats) -> Ints:
    """Whether one device rides surges of given current and length: `RIDES`, `DOES_NOT`, `UNKNOWN` each."""
    allowed = allowed_heat_a2s(kind, rating_a)
    by_heat = np.where(through_a**2 * length_s <= allowed, RIDES, DOES_NOT)
    return _judged(least_time_s(kind, rating_a, through_a), through_a <= rating_a, by_heat, np.isnan(allowed), length_s)


def _rides(devices: Devices, device: Ints, through_a: Floats, length_s: Floats) -> Ints:
    """`judged` for many devices at once."""
    of_type = devices.type_of(device)
    limits = devices.limits
    least = devices.least_s(of_type, through_a)
    allowed = fuse_tables.pulse_fraction(PULSES).value * limits.melting_a2s[of_type]
    by_heat = np.where(through_a**2 * length_s <= allowed, RIDES, DOES_NOT)
    carried = through_a <= limits.rating_a[of_type]
    return _judged(least, carried, by_heat, np.isnan(allowed), length_s)


def _judged(least_s: Floats, carried: Flags, by_heat: Ints, no_heat: Flags, length_s: Floats) -> Ints:
    by_curve = np.where(np.isnan(least_s), UNKNOWN, np.where(np.nan_to_num(least_s) >= length_s, RIDES, DOES_NOT))
    by_curve = np.where(carried, RIDES, by_curve)
    return np.where(~no_heat & (length_s <= SHORT_PULSE_S), np.maximum(by_curve, by_heat), by_curve)
