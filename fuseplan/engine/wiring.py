"""Segments as arrays: resistance, ampacity, zones, the runs they lie in, and how many conductors share a run."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.ambient import Owner, Place, Places
from fuseplan.engine.assumed import joint_ohm
from fuseplan.engine.conductor_rating import (
    UNRATED,
    WEAKEST,
    Allowance,
    Conductor,
    allowance_of,
    conductor_of,
    unlisted_size,
)
from fuseplan.engine.marking import Marked
from fuseplan.engine.missing import Lack, Missing
from fuseplan.engine.names import part_address, place_words
from fuseplan.engine.segments import Segments, joints_of
from fuseplan.formulas.resistance import length_with_allowance
from fuseplan.limits import LimitSet
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.parts import Segment
from fuseplan.tables import insulations
from fuseplan.trace import apply, gathered, given, number, per_part, recording, together


class Laid(NamedTuple):
    """What all segments of one size and insulation in one place have in common."""

    conductor: Conductor
    insulation: str
    sections: tuple[tuple[int, float, Allowance], ...]
    """(run, -1 for none; ambient in °C; allowance) of each section."""
    assumed: bool
    """The place of a section is."""
    unlisted: str
    """Why nothing is on file for the size; empty where it is on file, and without a size."""


class Row(NamedTuple):
    """One segment as it is collected."""

    branch: int
    returns: bool
    owner: tuple[str, str]
    """("circuit" | "feed" | "earth" | "alternator", id)."""
    place: str
    """Where in the plan: "wire.0", "load.1.earth_wire.0"."""
    segment: Segment
    length: float
    laid: int
    """Number of what it has in common with others."""


UNKNOWN = Conductor(math.nan, math.nan, math.nan, math.nan, insulations.insulation(WEAKEST).max_c, None)


class Wiring:
    """Collects a plan's segments and looks each distinct conductor up once."""

    def __init__(self, plan: Plan, limit_set: LimitSet, places: Places) -> None:
        self.plan, self.limit_set, self.places = plan, limit_set, places
        self.rows: list[Row] = []
        self.laid: list[Laid] = []
        self.marked: Marked = defaultdict(list)
        self.runs = {name: index for index, name in enumerate(plan.run)}
        self.placed = frozenset(name for name, run in plan.run.items() if run.zone is not None)
        self._along: dict[tuple[str, ...], tuple[float, str]] = {}
        self._numbers: dict[tuple[object, ...], int] = {}

    def add(self, branch: int, returns: bool, owner: Owner, place: str, segments: tuple[Segment, ...],
            missing: list[Missing]) -> tuple[float, float]:
        """Add segments to a branch; returns the resistance of their joints in ohm: what the plan gives of it, and what
        is taken. What is missing for a figure is appended to `missing`."""
        rows, stated, taken = self.rows, 0.0, 0.0
        for position, segment in enumerate(segments):
            where = _where(place, position)
            size, length = segment.size, segment.length
            sections = self.places.sections(owner, segment)
            key = (size, segment.insulation, tuple(sections))
            number = self._numbers.get(key)
            if number is None:
                number = self._numbers[key] = len(self.laid)
                self.laid.append(self._lay(segment, sections))
            laid = self.laid[number]
            if laid.assumed:
                self.marked["assumed_place"].append(len(rows))
            elif segment.zone is None if not segment.along else not self.placed.issuperset(segment.along):
                self.marked["taken_place"].append(len(rows))
            if size is None:
                missing.append(Missing(Lack.SIZE, f"{where}.size", f"size of {place_words(where)}"))
            elif laid.unlisted:
                missing.append(Missing(Lack.SIZE_ON_FILE, f"{where}.size",
                                       f"resistance of {place_words(where)} ({laid.unlisted})"))
            if segment.joint is not None or segment.splice:
                self.marked["joint"].append(len(rows))
                for _, joint in joints_of(segment):
                    if joint.resistance is None:
                        taken += joint_ohm(joint)
                    else:
                        stated += joint_ohm(joint, part_address(owner, where))
            if segment.colour:
                self.marked["colour"].append(len(rows))
            if segment.label:
                self.marked["label"].append(len(rows))
            if segment.number:
                self.marked["number"].append(len(rows))
            if segment.start is not None or segment.end is not None:
                self.marked["end"].append(len(rows))
            rows.append(Row(branch, returns, owner, where, segment,
                            self._length(segment, where, missing) if length is None else length, number))
        return stated, taken

    def _lay(self, segment: Segment, sections: list[tuple[str | None, Place]]) -> Laid:
        insulation, size = segment.insulation or WEAKEST, segment.size
        text = "" if size is None else str.__str__(size)
        conductor = UNKNOWN if size is None else conductor_of(self.limit_set, text, insulation)
        return Laid(
            conductor, insulation,
            tuple((self.runs.get(run or "", -1), at.ambient_c,
                   UNRATED if size is None else allowance_of(self.limit_set, text, insulation, at.ambient_c))
                  for run, at in sections),
            any(at.zone is None for _, at in sections),
            unlisted_size(size) if size is not None and conductor.rated is None else "")

    def _length(self, segment: Segment, where: str, missing: list[Missing]) -> float:
        """Length of a segment that gives none of its own."""
        if not segment.along:
            missing.append(Missing(Lack.LENGTH, f"{where}.length", f"length of {place_words(where)}"))
            return math.nan
        if segment.along not in self._along:
            unknown = next((name for name in segment.along if length_of(self.plan, name) is None), "")
            self._along[segment.along] = (math.nan if unknown else along(self.plan, segment.along), unknown)
        length, unknown = self._along[segment.along]
        if unknown:
            missing.append(Missing(Lack.LENGTH, f"{where}.along",
                                   f"length of run {in_words(self.plan, 'run', unknown)}"))
        return length


ALLOWANCE = 0.10
"""Added to the length of the runs a segment lies along, for ends, loop and bends. Common practice, no source."""


def length_of(plan: Plan, run: str) -> float | None:
    """Length of a run in m; None where it is not known."""
    stated = plan.run[run].length if run in plan.run else None
    return None if stated is None else given(float(stated), "L", "m", f"length of run {run}",
                                             f"the plan, run.{run}.length")


def along(plan: Plan, runs: tuple[str, ...]) -> float:
    """Length of a wire that lies along runs of known length, in m."""
    laid = together("length of the runs it lies along", [(f"run {run}", length_of(plan, run)) for run in runs],
                    "definition of a sum")
    return number(apply(length_with_allowance, runs_m=laid, allowance=given(
        ALLOWANCE, "a", "-", "added for ends, loop and bends", "common practice, no source")))


@lru_cache(maxsize=1024)
def _where(place: str, number: int) -> str:
    return f"{place}.{number}"


class _Entries:
    """Which entries of the plan the figures of each length of wire come from, for a recorded run."""

    def __init__(self, wiring: Wiring, pair_segment: Ints, first_pair: Ints) -> None:
        self.wiring, self.segment, self.first = wiring, pair_segment.tolist(), first_pair.tolist()

    def _section(self, pair: int) -> tuple[Row, Place]:
        row = self.wiring.rows[self.segment[pair]]
        sections = self.wiring.places.sections(row.owner, row.segment)
        return row, sections[pair - self.first[self.segment[pair]]][1]

    def ambient_words(self, pair: int) -> str:
        return self._section(pair)[1].given_words("ambient of the part that carries least")

    def ambient_cite(self, pair: int) -> str:
        row, place = self._section(pair)
        return place.cite(part_address(row.owner, row.place))

    def allowance(self, pair: int, ambient_c: Floats) -> Allowance:
        row, _ = self._section(pair)
        size = row.segment.size
        return UNRATED if size is None else allowance_of(self.wiring.limit_set, str.__str__(size),
                                                         row.segment.insulation or WEAKEST, ambient_c[pair])

    def length(self, number: int) -> float:
        row = self.wiring.rows[number]
        own = row.segment.length
        if own is not None:
            return given(float(own), "L", "m", "length, one way",
                         f"the plan, {part_address(row.owner, row.place)}.length")
        return math.nan if row.length != row.length else along(self.wiring.plan, row.segment.along or ())


def freeze(wiring: Wiring) -> Segments:
    """Turn collected rows into arrays."""
    rows, laid = wiring.rows, wiring.laid
    found = tuple(zip(*rows, strict=True)) or ((),) * len(Row._fields)
    columns: dict[str, Sequence[Any]] = dict(zip(Row._fields, found, strict=True))
    of = np.array(columns["laid"], dtype=np.int64)
    figures = gathered([each.conductor[:5] for each in laid]).reshape(-1, 5).take(of, axis=0)
    insulation, rated = [each.insulation for each in laid], [each.conductor.rated for each in laid]
    sections = [section for each in laid for section in each.sections]
    many = np.array([len(each.sections) for each in laid], dtype=np.int64)
    count, pairs = len(rows), many.take(of)
    first = np.cumsum(pairs) - pairs
    pair_segment = np.repeat(np.arange(count), pairs)
    section = np.arange(len(pair_segment)) + ((np.cumsum(many) - many).take(of) - first).take(pair_segment)
    ambient = np.array([each[1] for each in sections], dtype=float).take(section)
    allowed = np.array([each[2] for each in sections], dtype=float).reshape(-1, 5).take(section, axis=0)
    length = np.array(columns["length"], dtype=float)
    if recording():
        entries = _Entries(wiring, pair_segment, first)
        ambient = given(ambient, "Tₐ", "°C", entries.ambient_words, entries.ambient_cite)
        allowed = per_part(allowed, lambda pair, field: entries.allowance(pair, ambient)[field])
        length = per_part(length, entries.length)
    single = allowed[:, 2]
    worst = np.zeros(count)
    if count:
        ranked = np.where(np.isnan(single), np.inf, single)
        lowest = np.minimum.reduceat(ranked, first)
        worst = np.maximum.reduceat(np.where(ranked <= lowest[pair_segment], ambient, -np.inf), first)
    r20 = figures[:, 0] * length
    known = ~np.isnan(r20)
    return Segments(
        branch=np.array(columns["branch"], dtype=np.int64), returns=np.array(columns["returns"], dtype=bool),
        owner=list(columns["owner"]), place=list(columns["place"]), segment=list(columns["segment"]),
        insulation=[insulation[number] for number in columns["laid"]],
        r20_ohm=np.where(known, r20, 0.0), r20_known=known, r20_ohm_per_m=figures[:, 0].copy(), length_m=length,
        area_mm2=figures[:, 1].copy(),
        diameter_mm=figures[:, 2].copy(), base_a=figures[:, 3].copy(), max_c=figures[:, 4].copy(),
        rated=[rated[number] for number in columns["laid"]], pair_factor=allowed[:, 0].copy(),
        pair_segment=pair_segment, pair_run=np.array([each[0] for each in sections], dtype=np.int64).take(section),
        pair_table_a=allowed[:, 1].copy(), pair_single_a=single.copy(),
        pair_base_a=allowed[:, 3].copy(), pair_left=allowed[:, 4].copy(), pair_ambient_c=ambient, first_pair=first,
        ambient_c=worst, marked=wiring.marked,
    )
