"""The time–current picture of one protective device as arrays: what screens, command line and papers draw alike."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.clearing import OPEN_WITHIN_S, greatest_time_s, least_time_s, limits
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.results import Results
from fuseplan.formulas.adiabatic import adiabatic_k, adiabatic_time
from fuseplan.plan.coils import is_coil_wire
from fuseplan.records import dataclass
from fuseplan.tables.distinct import distinct
from fuseplan.tables.load import Source

COPPER_K, COPPER_BETA_C = 226.0, 234.5
"""IEC 60949, from memory."""
POINTS = 240
_BESIDE = 1e-7
"""Distance from a printed multiple at which both sides of a step are drawn, relatively."""


@dataclass(frozen=True)
class Band:
    """Opening times of one device; arrays of one length, currents ascending."""

    device: int
    kind: str
    rating_a: float
    current_a: Floats
    least_s: Floats
    """0 where no least time is printed at or above the current."""
    greatest_s: Floats
    """Infinite where it may never open."""
    known: bool
    """Limits are on file; otherwise least is 0 and greatest infinite throughout."""
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class WireLimit:
    """The wire behind the device that gives in first."""

    segment: int
    start_c: float
    limit_c: float
    current_a: Floats
    time_s: Floats
    """Time in which the current takes it from its service temperature to the limit of its insulation, no heat lost;
    NaN above 5 s, where that no longer holds."""


@dataclass(frozen=True)
class Surge:
    """Switch-on surge of one load through the device."""

    consumer: int
    current_a: float
    time_s: float
    assumed: bool
    withstood: int


@dataclass(frozen=True)
class Picture:
    """Everything in the picture of one circuit; None and NaN for what is not known."""

    own: Band | None
    upstream: Band | None
    wire: WireLimit | None
    ampacity_a: float
    """Of the weakest wire behind the device."""
    load_a: float
    surges: tuple[Surge, ...]
    far_end_a: float
    prospective_a: float
    lowest_a: float
    highest_a: float


def picture_of(results: Results, circuit: int) -> Picture:
    """The picture of a circuit, by its number: of its own device, or of the one upstream that guards it."""
    network, faults, demands = results.network, results.faults, results.demands
    device = int(network.guard[network.circuit_node[circuit]])
    load = next((value for value in (float(demands.circuit[0, each, circuit])
                                     for each in (CONTINUOUS, FIVE_MIN, FIVE_S)) if value > 0), 0.0)
    far = float(faults.circuit_far_a[circuit])
    prospective = float(faults.prospective_a[device]) if device >= 0 else np.nan
    rating = float(results.fusing.rating_a[device]) if device >= 0 else np.nan
    surges = _surges(results, circuit)
    marks = np.array([load, rating, far, prospective, *(each.current_a for each in surges)])
    marks = marks[np.isfinite(marks) & (marks > 0)]
    lowest = float(marks.min()) * 0.7 if marks.size else 1.0
    highest = float(marks.max()) * 1.4 if marks.size else 100.0
    above = int(network.guard[network.supply.parent[network.fuse_node[device]]]) if device >= 0 else -1
    segments, own = network.segments, ("circuit", network.circuit_ids[circuit])
    wires = np.array([index for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True))
                      if owner == own and not is_coil_wire(place)], dtype=np.int64)
    capacity = results.segment_limit_a[wires]
    return Picture(
        own=_band(results, device, lowest, highest), upstream=_band(results, above if above != device else -1, lowest,
                                                                     highest),
        wire=_wire(results, wires, lowest, highest),
        ampacity_a=float(np.nanmin(capacity)) if np.isfinite(capacity).any() else np.nan,
        load_a=load, surges=surges, far_end_a=far, prospective_a=prospective, lowest_a=lowest, highest_a=highest,
    )


def _band(results: Results, device: int, lowest_a: float, highest_a: float) -> Band | None:
    if device < 0 or np.isnan(results.fusing.rating_a[device]):
        return None
    kind, rating = results.network.fuses[device].fuse.kind, float(results.fusing.rating_a[device])
    found = limits(kind, rating)
    current = np.geomspace(lowest_a, highest_a, POINTS)
    if found is None:
        return Band(device, kind, rating, current, np.zeros(POINTS), np.full(POINTS, np.inf), False, ())
    steps = found.curve.multiples * rating
    steps = np.concatenate([steps * (1 - _BESIDE), steps * (1 + _BESIDE)])
    current = distinct(np.concatenate([current, steps[(steps > lowest_a) & (steps < highest_a)]]))
    return Band(device, kind, rating, current, np.nan_to_num(least_time_s(kind, rating, current), nan=0.0),
                greatest_time_s(kind, rating, current), True, found.sources)


def _wire(results: Results, wires: NDArray[np.int64], lowest_a: float, highest_a: float) -> WireLimit | None:
    faults, area = results.faults, results.network.segments.area_mm2
    limit, start = faults.segment_limit_c[wires], faults.start_c[wires]
    k = np.asarray(adiabatic_k(COPPER_K, np.maximum(limit, start), start, COPPER_BETA_C))
    limit_a = np.where(np.isnan(limit), np.nan, np.asarray(k) * area[wires])
    if not wires.size or np.isnan(limit_a).all():
        return None
    weakest = int(np.nanargmin(limit_a))
    current = np.geomspace(lowest_a, highest_a, POINTS)
    time = np.asarray(adiabatic_time(float(k[weakest]), float(area[wires[weakest]]), current))
    return WireLimit(int(wires[weakest]), float(start[weakest]), float(limit[weakest]), current,
                     np.where(time <= OPEN_WITHIN_S, time, np.nan))


def _surges(results: Results, circuit: int) -> tuple[Surge, ...]:
    consumers, inrush = results.network.consumers, results.inrush
    members = np.flatnonzero((consumers.circuit == circuit) & (consumers.kind == LOAD)).tolist()
    return tuple(Surge(index, float(inrush.through_a[index]), float(inrush.length_s[index]),
                       bool(inrush.assumed[index]), int(inrush.withstood[index]))
                 for index in members if inrush.length_s[index] > 0)
