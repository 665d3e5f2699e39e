"""Whether each device rides its loads' switch-on surge."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import least_time_s
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.demand import FIVE_S, Demands
from fuseplan.engine.network import Network
from fuseplan.formulas.load import inrush_current
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables import loads as load_tables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SHORT_PULSE_S = 0.1
"""Up to this length a surge is judged by its heat against the melting I²t, above by the time-current curve."""
PULSES = 100_000
"""Surges in a life: the published pulse table's longest row."""


@dataclass(frozen=True)
class Inrush:
    """Per consumer (L,): the surge through the device that guards its circuit when it is switched on last."""

    peak_a: Floats
    """Own surge alone."""
    through_a: Floats
    """Surge plus the circuit's other loads."""
    length_s: Floats
    rides: Ints
    """1 rides it, 0 does not, -1 nothing on file."""
    device: Ints
    heat_a2s: Floats


@lru_cache(maxsize=16)
def default(kind: str) -> tuple[float, float]:
    """Published surge of a kind of load: (multiple, length in s)."""
    return load_tables.default_inrush(kind).value


def inrush_of(network: Network, demands: Demands, rating_a: Floats) -> Inrush:
    """Surges of all loads, at the upper bound of nothing: running currents as entered."""
    consumers = network.consumers
    count = consumers.count
    multiple, length = np.ones(count), np.zeros(count)
    for index in np.flatnonzero(consumers.kind == LOAD).tolist():
        load = network.circuits[consumers.circuit[index]].load[consumers.number[index]]
        usual = default(consumers.load_kind[index])
        multiple[index] = usual[0] if load.inrush is None else load.inrush
        length[index] = usual[1] if load.inrush_time is None else float(load.inrush_time)
    running = demands.load[0, FIVE_S]
    peak = np.asarray(inrush_current(running, multiple))
    member = consumers.circuit >= 0
    together = np.zeros(count)
    together[member] = demands.circuit[0, FIVE_S, consumers.circuit[member]]
    through = np.maximum(peak, peak + np.maximum(together - running, 0.0))
    device = np.full(count, -1, dtype=np.int64)
    device[member] = network.guard[network.circuit_node[consumers.circuit[member]]]
    heat = through**2 * length
    rides = np.full(count, -1, dtype=np.int64)
    asked = (device >= 0) & (consumers.kind == LOAD) & (running > 0)
    groups: dict[tuple[str, float], list[int]] = {}
    for index in np.flatnonzero(asked).tolist():
        rating = float(rating_a[device[index]])
        if not np.isnan(rating):
            groups.setdefault((network.fuses[device[index]].fuse.kind, rating), []).append(index)
    for (kind, rating), members in groups.items():
        least = least_time_s(kind, rating, through[members])
        melting = fuse_tables.melting_i2t_a2s(kind, rating)
        answer = np.where(np.isnan(least), -1, (np.nan_to_num(least) >= length[members]).astype(int))
        answer = np.where(through[members] <= rating, 1, answer)
        short = length[members] <= SHORT_PULSE_S
        if melting is not None:
            allowed = fuse_tables.pulse_fraction(PULSES).value * melting.value
            by_heat = (heat[members] <= allowed).astype(int)
            answer = np.where(short, np.maximum(answer, by_heat), answer)
        else:
            answer = np.where(short & (answer == 0), -1, answer)
        rides[members] = answer
    return Inrush(peak_a=peak, through_a=through, length_s=length, rides=rides, device=device, heat_a2s=heat)
