"""Segments as arrays: resistance, ampacity, zones, the runs they lie in, and how many conductors share a run."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.still_wire import DISAGREES, balance_a
from fuseplan.errors import TableError
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


class Conductor(NamedTuple):
    """One conductor as the guidance rates it, before ambient and neighbours; NaN for what is not on file."""

    r20_ohm_per_m: float
    area_mm2: float
    diameter_mm: float
    base_a: float
    max_c: float
    rated: Rated | None


class Allowance(NamedTuple):
    """What a conductor may carry alone at an ambient."""

    factor: float
    """Ambient factor; NaN where the guidance has nothing on file for that ambient."""
    printed_a: float
    single_a: float
    """The allowance in force: the printed one, or a heat balance that falls short of it by more than 15 %."""


@lru_cache(maxsize=4096)
def conductor_of(guidance: Guidance, size: str, insulation: str) -> Conductor:
    """The figures of a size and insulation."""
    wire = WireSize.read(size)
    try:
        top = insulations.insulation(insulation).max_c
    except TableError:
        top = insulations.insulation(WEAKEST).max_c
    try:
        found = conductors.conductor(wire.system, wire.name)
    except TableError:
        return Conductor(math.nan, math.nan, math.nan, math.nan, top, None)
    rated = guidance.ampacity(wire, insulation)
    return Conductor(found.r20_ohm_per_m, found.area_mm2, found.diameter_mm,
                     math.nan if rated is None else rated.base_a, top if rated is None else rated.max_c, rated)


@lru_cache(maxsize=16384)
def allowance_of(guidance: Guidance, size: str, insulation: str, ambient_c: float) -> Allowance:
    """What a size and insulation may carry alone at an ambient in °C: 0 at or above the insulation's limit."""
    conductor = conductor_of(guidance, size, insulation)
    rated = conductor.rated
    if rated is None:
        return Allowance(math.nan, math.nan, math.nan)
    factor = rated.ambient_factor(ambient_c)
    printed = conductor.base_a * factor
    balance = balance_a(conductor.r20_ohm_per_m, conductor.area_mm2, conductor.diameter_mm, insulation, ambient_c,
                        conductor.max_c)
    return Allowance(factor, printed, balance if balance < printed * (1.0 - DISAGREES) else printed)


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
    length: list[float] = field(default_factory=list)
    conductor: list[Conductor] = field(default_factory=list)
    insulation: list[str] = field(default_factory=list)
    pair_segment: list[int] = field(default_factory=list)
    pair_run: list[int] = field(default_factory=list)
    pair_ambient: list[float] = field(default_factory=list)
    pair_allowance: list[Allowance] = field(default_factory=list)


class Wiring:
    """Collects a plan's segments and looks each distinct conductor up once."""

    def __init__(self, plan: Plan, guidance: Guidance) -> None:
        self.plan, self.guidance = plan, guidance
        self.rows = SegmentRows()
        self.runs = {name: index for index, name in enumerate(plan.run)}
        self.ambient = {name: float(zone.ambient) for name, zone in plan.zone.items()}
        self._along: dict[tuple[str, ...], tuple[float, str]] = {}

    def zone_ambient(self, *zones: str | None) -> float:
        """Ambient in °C of the hottest of the zones named, or `COOLEST_C` where none is."""
        found = [self.ambient[zone] for zone in zones if zone is not None and zone in self.ambient]
        return max(found, default=COOLEST_C)

    def add(self, branch: int, returns: bool, owner: tuple[str, str], place: str, segments: tuple[Segment, ...],
            fallback_c: float, missing: list[str]) -> float:
        """Add segments to a branch; returns the resistance of their joints in ohm.

        `fallback_c` is the ambient of a segment that names no zone. What is missing for a figure is appended to
        `missing` in words.
        """
        rows, joints = self.rows, 0.0
        for segment in segments:
            if segment.zone is not None:
                fallback_c = max(fallback_c, self.ambient.get(segment.zone, COOLEST_C))
        for number, segment in enumerate(segments):
            insulation = segment.insulation or WEAKEST
            where = f"{place}.{number}"
            size = segment.size
            if size is None:
                missing.append(f"size of {where}")
            for joint in (segment.joint, *segment.splice):
                if joint is not None and joint.resistance is not None:
                    joints += joint.resistance
            index = len(rows.branch)
            rows.branch.append(branch)
            rows.returns.append(returns)
            rows.owner.append(owner)
            rows.place.append(where)
            rows.segment.append(segment)
            rows.length.append(self._length(segment, where, missing))
            rows.conductor.append(UNKNOWN if size is None else
                                  conductor_of(self.guidance, str.__str__(size), insulation))
            rows.insulation.append(insulation)
            for run, ambient in self._stretches(segment, fallback_c):
                rows.pair_segment.append(index)
                rows.pair_run.append(run)
                rows.pair_ambient.append(ambient)
                rows.pair_allowance.append(UNRATED if size is None else allowance_of(
                    self.guidance, str.__str__(size), insulation, ambient))
        return joints

    def _length(self, segment: Segment, where: str, missing: list[str]) -> float:
        if segment.length is not None:
            return float(segment.length)
        if not segment.along:
            missing.append(f"length of {where}")
            return math.nan
        if segment.along not in self._along:
            unknown = next((name for name in segment.along
                            if name not in self.plan.run or self.plan.run[name].length is None), "")
            total = math.nan if unknown else sum(float(self.plan.run[name].length or 0) for name in segment.along)
            self._along[segment.along] = (total * (1.0 + ALLOWANCE), unknown)
        length, unknown = self._along[segment.along]
        if unknown:
            missing.append(f"length of run {unknown}")
        return length

    def _stretches(self, segment: Segment, fallback_c: float) -> list[tuple[int, float]]:
        """(run, ambient in °C) of each stretch of a segment; run -1 for one that lies in none."""
        if not segment.along:
            return [(-1, fallback_c if segment.zone is None else self.ambient.get(segment.zone, COOLEST_C))]
        found = []
        for name in segment.along:
            run = self.plan.run.get(name)
            zone = run.zone if run is not None else None
            found.append((self.runs.get(name, -1), fallback_c if zone is None else self.ambient.get(zone, COOLEST_C)))
        return found


UNRATED = Allowance(math.nan, math.nan, math.nan)
UNKNOWN = Conductor(math.nan, math.nan, math.nan, math.nan, insulations.insulation(WEAKEST).max_c, None)
ALLOWANCE = 0.10
"""Added to the length of the runs a segment lies along, for ends, loop and bends. Common practice, no source."""


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
    count = len(rows.branch)
    figures = np.array([row[:5] for row in rows.conductor], dtype=float).reshape(count, 5)
    allowed = np.array(rows.pair_allowance, dtype=float).reshape(-1, 3)
    pair_segment, ambient = np.array(rows.pair_segment, dtype=np.int64), np.array(rows.pair_ambient, dtype=float)
    single, length = allowed[:, 2], np.array(rows.length, dtype=float)
    first = np.searchsorted(pair_segment, np.arange(count)).astype(np.int64)
    worst = np.zeros(count)
    if count:
        ranked = np.where(np.isnan(single), np.inf, single)
        lowest = np.minimum.reduceat(ranked, first)
        worst = np.maximum.reduceat(np.where(ranked <= lowest[pair_segment], ambient, -np.inf), first)
    r20 = figures[:, 0] * length
    return Segments(
        branch=np.array(rows.branch, dtype=np.int64), returns=np.array(rows.returns, dtype=bool), owner=rows.owner,
        place=rows.place, segment=rows.segment, insulation=rows.insulation,
        r20_ohm=np.where(np.isnan(r20), 0.0, r20), length_m=length, area_mm2=figures[:, 1].copy(),
        diameter_mm=figures[:, 2].copy(), base_a=figures[:, 3].copy(), max_c=figures[:, 4].copy(),
        rated=[row.rated for row in rows.conductor], pair_factor=allowed[:, 0].copy(), pair_segment=pair_segment,
        pair_run=np.array(rows.pair_run, dtype=np.int64), pair_table_a=allowed[:, 1].copy(),
        pair_single_a=single.copy(), pair_ambient_c=ambient, first_pair=first, ambient_c=worst,
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
    if segments.count == 0:
        return np.zeros((nominal_a.shape[0], 0)), np.zeros((nominal_a.shape[0], 0), dtype=np.int64)
    single, count = segments.pair_single_a, counted(segments, runs, nominal_a, guidance)
    limited = single * guidance.group_factor(count)
    return (np.minimum.reduceat(limited, segments.first_pair, axis=1),
            np.maximum.reduceat(count, segments.first_pair, axis=1))


def counted(segments: Segments, runs: int, nominal_a: Floats, guidance: Guidance) -> Ints:
    """Conductors counted beside each (segment, stretch) pair in its run, itself included: array (C, P), arguments as
    for `ampacities`."""
    conditions = nominal_a.shape[0]
    pair, run, single = segments.pair_segment, segments.pair_run, segments.pair_single_a
    count = np.ones((conditions, len(pair)), dtype=np.int64)
    along = np.flatnonzero(run >= 0)
    if along.size:
        current = nominal_a[:, pair[along]]
        loaded = current > guidance.group.counted_from * np.nan_to_num(single[along], nan=0.0)
        rows = np.repeat(np.arange(conditions), along.size) * runs + np.tile(run[along], conditions)
        totals = np.bincount(rows, weights=loaded.ravel(), minlength=conditions * runs).reshape(conditions, runs)
        shared = totals[:, run[along]].astype(np.int64)
        count[:, along] = np.maximum(1, shared + ~loaded)
    return count
