"""Whether each device withstands its loads' inrush current.

A usual inrush, a multiple of the running current on a stiff supply, is limited by battery and wires; one the plan gives
is taken as it stands, but never above what the circuit lets through at all. A lamp's inrush decays: it counts as the
pulse of its peak that has its heat.
"""

from __future__ import annotations

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


@dataclass(frozen=True)
class Inrush:
    """Per consumer (L,): the surge through the device that guards its circuit when it is switched on last."""

    peak_a: Floats
    """Own surge alone."""
    through_a: Floats
    """Surge plus everything else on together behind the device."""
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
        through.append(surge + np.maximum(behind - running, 0.0))
        steady = np.maximum(behind, running)
        above = np.maximum(through[-1] - steady, 0.0)
        with np.errstate(invalid="ignore"):
            short = np.nan_to_num(equal_pulse(decay, above, steady))
        lengths.append(np.where(lamps, short, consumers.inrush_s))
        asked = np.where((consumers.kind == LOAD) & (running > 0), device, -1)
        rides.append(_rides(devices, asked, through[-1], lengths[-1]))
    return Inrush(peak_a=peak[0], through_a=through[0], length_s=lengths[0], assumed=consumers.inrush_assumed,
                  rides=rides[0], worst_through_a=through[1], worst_rides=rides[1], device=device,
                  heat_a2s=through[0]**2 * lengths[0])


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
