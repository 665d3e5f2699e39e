"""Segments as arrays: resistance, ampacity, zones, the runs they lie in, and how many conductors share a run."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.still_wire import DISAGREES, balance_a
from fuseplan.errors import TableError
from fuseplan.formulas.thermal import rise_factor
from fuseplan.guidance import Guidance, Rated
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Segment
from fuseplan.tables import conductors, insulations
from fuseplan.units import WireSize

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

WEAKEST = "pvc70"
"""Insulation taken where none is named: the lowest class sold."""
COOLEST_C = 25.0
"""Ambient where a plan names no zone at all."""


@dataclass
class SegmentRows:
    """Segments as they are collected, one entry each."""

    branch: list[int] = field(default_factory=list)
    returns: list[bool] = field(default_factory=list)
    owner: list[tuple[str, str]] = field(default_factory=list)
    """("circuit" | "feed" | "earth" | "alternator", id)."""
    place: list[str] = field(default_factory=list)
    """Where in the plan: "wire.0", "load.1.earth_wire.0"."""
    segment: list[Segment] = field(default_factory=list)
    r20: list[float] = field(default_factory=list)
    length: list[float] = field(default_factory=list)
    area: list[float] = field(default_factory=list)
    diameter: list[float] = field(default_factory=list)
    base_a: list[float] = field(default_factory=list)
    max_c: list[float] = field(default_factory=list)
    rise_k: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    warm_from_c: list[float] = field(default_factory=list)
    warm: list[float] = field(default_factory=list)
    highest_c: list[float] = field(default_factory=list)
    rated: list[Rated | None] = field(default_factory=list)
    insulation: list[str] = field(default_factory=list)
    pair_segment: list[int] = field(default_factory=list)
    pair_run: list[int] = field(default_factory=list)
    pair_ambient: list[float] = field(default_factory=list)


class Wiring:
    """Collects a plan's segments and looks each distinct conductor up once."""

    def __init__(self, plan: Plan, guidance: Guidance) -> None:
        self.plan, self.guidance = plan, guidance
        self.rows = SegmentRows()
        self.runs = {name: index for index, name in enumerate(plan.run)}
        self.ambient = {name: float(zone.ambient) for name, zone in plan.zone.items()}
        self._seen: dict[tuple[str, str], tuple[float, float, float, Rated | None]] = {}

    def zone_ambient(self, *zones: str | None) -> float:
        """Ambient in °C of the hottest of the zones named, or `COOLEST_C` where none is."""
        found = [self.ambient[zone] for zone in zones if zone is not None and zone in self.ambient]
        return max(found, default=COOLEST_C)

    def _conductor(self, size: WireSize, insulation: str) -> tuple[float, float, float, Rated | None]:
        key = (str(size), insulation)
        if key not in self._seen:
            try:
                found = conductors.conductor(size.system, size.name)
                self._seen[key] = (found.r20_ohm_per_m, found.area_mm2, found.diameter_mm,
                                   self.guidance.ampacity(size, insulation))
            except TableError:
                self._seen[key] = (math.nan, math.nan, math.nan, None)
        return self._seen[key]

    def add(self, branch: int, returns: bool, owner: tuple[str, str], place: str, segments: tuple[Segment, ...],
            fallback_c: float, missing: list[str]) -> float:
        """Add segments to a branch; returns the resistance of their joints in ohm.

        `fallback_c` is the ambient of a segment that names no zone. What is missing for a figure is appended to
        `missing` in words.
        """
        rows, joints = self.rows, 0.0
        zones = [segment.zone for segment in segments if segment.zone is not None]
        if zones:
            fallback_c = max(fallback_c, self.zone_ambient(*zones))
        for number, segment in enumerate(segments):
            insulation = segment.insulation or WEAKEST
            where = f"{place}.{number}"
            index = len(rows.branch)
            length = self._length(segment, where, missing)
            if segment.size is None:
                missing.append(f"size of {where}")
                r20 = area = diameter = math.nan
                rated = None
            else:
                r20, area, diameter, rated = self._conductor(segment.size, insulation)
            for joint in (segment.joint, *segment.splice):
                if joint is not None and joint.resistance is not None:
                    joints += joint.resistance
            rows.branch.append(branch)
            rows.returns.append(returns)
            rows.owner.append(owner)
            rows.place.append(where)
            rows.segment.append(segment)
            rows.r20.append(r20)
            rows.length.append(length)
            rows.area.append(area)
            rows.diameter.append(diameter)
            rows.insulation.append(insulation)
            rows.base_a.append(math.nan if rated is None else rated.base_a)
            rows.max_c.append(_class(insulation) if rated is None else rated.max_c)
            rows.rise_k.append(40.0 if rated is None else rated.rise_k)
            rows.most.append(math.inf if rated is None else rated.largest_factor)
            rows.warm_from_c.append(math.inf if rated is None else rated.reference_c)
            rows.warm.append(math.inf if rated is None else rated.warm_factor)
            rows.highest_c.append(math.inf if rated is None else rated.highest_c)
            rows.rated.append(rated)
            self._stretches(index, segment, fallback_c)
        return joints

    def _length(self, segment: Segment, where: str, missing: list[str]) -> float:
        if segment.length is not None:
            return float(segment.length)
        if segment.along:
            total = 0.0
            for name in segment.along:
                run = self.plan.run.get(name)
                if run is None or run.length is None:
                    missing.append(f"length of run {name}")
                    return math.nan
                total += run.length
            return total * (1.0 + ALLOWANCE)
        missing.append(f"length of {where}")
        return math.nan

    def _stretches(self, index: int, segment: Segment, fallback_c: float) -> None:
        rows = self.rows
        if not segment.along:
            rows.pair_segment.append(index)
            rows.pair_run.append(-1)
            rows.pair_ambient.append(fallback_c if segment.zone is None else self.zone_ambient(segment.zone))
            return
        for name in segment.along:
            run = self.plan.run.get(name)
            zone = run.zone if run is not None else None
            rows.pair_segment.append(index)
            rows.pair_run.append(self.runs.get(name, -1))
            rows.pair_ambient.append(fallback_c if zone is None else self.zone_ambient(zone))


ALLOWANCE = 0.10
"""Added to the length of the runs a segment lies along, for ends, loop and bends. Common practice, no source."""


def _class(insulation: str) -> float:
    try:
        return insulations.insulation(insulation).max_c
    except TableError:
        return insulations.insulation(WEAKEST).max_c


@dataclass(frozen=True)
class Segments:
    """All segments as arrays of length S, and (segment, stretch) pairs of length P."""

    branch: Ints
    """Branch on its side: supply node or return node whose branch the segment is part of."""
    returns: Flags
    owner: list[tuple[str, str]]
    place: list[str]
    segment: list[Segment]
    insulation: list[str]
    r20_ohm: Floats
    """Resistance of the whole stretch at 20 °C, 0 where unknown."""
    length_m: Floats
    area_mm2: Floats
    diameter_mm: Floats
    base_a: Floats
    max_c: Floats
    rated: list[Rated | None]
    """What the guidance says of each, None where it has nothing on file."""
    pair_factor: Floats
    """Ambient factor of each pair, shape (P,); NaN where the guidance has nothing on file for that ambient."""
    pair_segment: Ints
    pair_run: Ints
    pair_table_a: Floats
    """Printed ampacity of each pair alone at the pair's ambient, shape (P,); 0 where the ambient is above the
    insulation's limit."""
    pair_single_a: Floats
    """The allowance in force: the printed one, or a heat balance that falls short of it by more than 15 %."""
    pair_ambient_c: Floats
    first_pair: Ints
    ambient_c: Floats
    """Ambient of the stretch with the lowest ampacity alone, shape (S,)."""

    @property
    def count(self) -> int:
        return len(self.branch)


def freeze(rows: SegmentRows) -> Segments:
    """Turn collected rows into arrays."""
    def floats(values: list[float]) -> Floats:
        return np.array(values, dtype=float)

    base, top, rise, most = floats(rows.base_a), floats(rows.max_c), floats(rows.rise_k), floats(rows.most)
    pair_segment = np.array(rows.pair_segment, dtype=np.int64)
    ambient = floats(rows.pair_ambient)
    limit = top[pair_segment]
    factor = np.minimum(rise_factor(np.maximum(limit, ambient), ambient, rise[pair_segment]), most[pair_segment])
    warm_from, warm, highest = floats(rows.warm_from_c), floats(rows.warm), floats(rows.highest_c)
    factor = np.where(ambient > warm_from[pair_segment], np.minimum(factor, warm[pair_segment]), factor)
    factor = np.where(ambient > highest[pair_segment], np.nan, factor)
    printed = base[pair_segment] * factor
    balance = np.array([
        balance_a(rows.r20[index], rows.area[index], rows.diameter[index], rows.insulation[index], at, top_c)
        for index, at, top_c in zip(rows.pair_segment, rows.pair_ambient, limit.tolist(), strict=True)], dtype=float)
    single = np.where(balance < printed * (1.0 - DISAGREES), balance, printed)
    r20 = floats(rows.r20) * floats(rows.length)
    first = np.searchsorted(pair_segment, np.arange(len(rows.branch))).astype(np.int64)
    worst = np.zeros(len(rows.branch))
    if len(rows.branch):
        lowest = np.minimum.reduceat(np.nan_to_num(single, nan=np.inf), first)
        is_lowest = np.nan_to_num(single, nan=np.inf) <= lowest[pair_segment]
        worst = np.maximum.reduceat(np.where(is_lowest, ambient, -np.inf), first)
    return Segments(
        branch=np.array(rows.branch, dtype=np.int64), returns=np.array(rows.returns, dtype=bool), owner=rows.owner,
        place=rows.place, segment=rows.segment, insulation=rows.insulation, r20_ohm=np.nan_to_num(r20, nan=0.0),
        length_m=floats(rows.length), area_mm2=floats(rows.area), diameter_mm=floats(rows.diameter), base_a=base,
        max_c=top, rated=rows.rated, pair_factor=factor, pair_segment=pair_segment, pair_run=np.array(rows.pair_run, dtype=np.int64), pair_table_a=printed, pair_single_a=single,
        pair_ambient_c=ambient, first_pair=first, ambient_c=worst,
    )


def ampacities(segments: Segments, runs: int, nominal_a: Floats, guidance: Guidance) -> tuple[Floats, Ints]:
    """Ampacity of every segment in every condition, with the conductors that share its runs.

    Parameters
    ----------
    segments : Segments
    runs : int
        Number of runs in the plan.
    nominal_a : array (C, S)
        Current each segment carries in each condition, at the entered values [A].
    guidance : Guidance

    Returns
    -------
    (array (C, S) of A, array (C, S) of conductors counted in the segment's fullest run, itself included)
    """
    conditions = nominal_a.shape[0]
    if segments.count == 0:
        return np.zeros((conditions, 0)), np.zeros((conditions, 0), dtype=np.int64)
    pair, run = segments.pair_segment, segments.pair_run
    single = segments.pair_single_a
    count = np.ones((conditions, len(pair)), dtype=np.int64)
    along = np.flatnonzero(run >= 0)
    if along.size:
        current = nominal_a[:, pair[along]]
        loaded = current > guidance.group.counted_from * np.nan_to_num(single[along], nan=0.0)
        rows = np.repeat(np.arange(conditions), along.size) * runs + np.tile(run[along], conditions)
        totals = np.bincount(rows, weights=loaded.ravel(), minlength=conditions * runs).reshape(conditions, runs)
        shared = totals[:, run[along]].astype(np.int64)
        count[:, along] = np.maximum(1, shared + ~loaded)
    limited = single * guidance.group_factor(count)
    return (np.minimum.reduceat(limited, segments.first_pair, axis=1),
            np.maximum.reduceat(count, segments.first_pair, axis=1))
