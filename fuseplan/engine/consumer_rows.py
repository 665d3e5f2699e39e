"""Consumers as they are collected from a plan, one by one, and how arrays are made of them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Any, NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.consumers import (
    ALTERNATOR,
    COIL,
    CONTINUOUS,
    LOAD,
    MOMENTARY,
    STANDBY,
    STARTER_A,
    UNSTATED,
    Consumers,
    in_groups,
)
from fuseplan.engine.laws import SHARE_STOPPED
from fuseplan.engine.load_figures import bounds, heating_of, locked_ohm, nominal, usual_inrush, usual_locked_ohm
from fuseplan.engine.missing import Lack, Missing
from fuseplan.plan.parts import Load
from fuseplan.plan.words import TOLERANCE, USES, CircuitRole
from fuseplan.records import dataclass
from fuseplan.tables import loads as load_tables


def _use(load: Load) -> int:
    return CONTINUOUS if load.use is None else USES.index(load.use)


class Row(NamedTuple):
    """One consumer as it is collected; the fields are those of `Consumers`."""

    kind: int
    owner: tuple[str, str]
    circuit: int
    number: int
    load_kind: str
    reference_a: float
    reference_v: float
    exponent: float
    lower: float
    upper: float
    use: int
    duty: float
    group: int
    inrush_given: float = 1.0
    inrush_given_s: float = 0.0
    guessed: bool = False
    most_a: float = math.nan
    """Where its upper bound is no share of its reference current."""
    unstated: bool = False
    locked_ohm: float = 0.0
    heating: float = 1.0
    starts: bool = False
    """Its use is not stated, and the stated role of its circuit is that of the starter."""


@dataclass()
class ConsumerRows:
    """Consumers as they are collected, one entry each."""

    rows: list[Row] = field(default_factory=list)
    groups: dict[str, int] = field(default_factory=dict)

    def _append(self, row: Row) -> int:
        self.rows.append(row)
        return len(self.rows) - 1

    def load(self, circuit: int, owner: tuple[str, str], number: int, load: Load, role: CircuitRole | None,
             system_v: float, tolerances: Mapping[str, float], missing: list[Missing], bound_a: float) -> int:
        """Add one load of a circuit with this stated role, with the most its fuse carries [A]; what its figures lack is
        appended to `missing`."""
        current, voltage = nominal(load, system_v)
        kind, evidence, inrush, inrush_time = load.kind, load.evidence, load.inrush, load.inrush_time
        unstated, most = current != current, math.nan
        lower, upper = bounds(load, 0.0 if unstated else current, tolerances[evidence or "guess"])
        if unstated:
            missing.append(Missing(Lack.CURRENT, f"load.{number}.current",
                                   f"current or power of '{load.name or f'load {number + 1}'}'"))
            current = 0.0
        if kind is None:
            missing.append(Missing(Lack.LOAD_KIND, f"load.{number}.kind",
                                   f"kind of load of '{load.name or f'load {number + 1}'}'"))
            kind = "resistive"
            # Any kind of load draws less than this, at any voltage it works at.
            most = current * (1.0 + upper) / SHARE_STOPPED
            most = max(current * (1.0 + upper), min(most, bound_a))
        group = -1 if load.either is None else self.groups.setdefault(load.either, len(self.groups))
        return self._append(Row(
            LOAD, owner, circuit, number, kind, current, voltage, load_tables.EXPONENTS[kind],
            lower, upper, _use(load), load.duty, group,
            math.nan if inrush is None else inrush, math.nan if inrush_time is None else inrush_time,
            evidence is None or evidence == "guess", most, unstated, locked_ohm(load),
            heating_of(load, current, system_v), load.use is None and role == "starter"))

    def unstated(self, owner: tuple[str, str], loads: Sequence[Load], most_a: float, system_v: float) -> int:
        """Add what a circuit may draw through its fuse where the currents of these loads are not stated: nothing as
        entered, the most the fuse carries at the upper bound."""
        return self._append(Row(UNSTATED, owner, -1, 0, "electronic", 0.0, system_v, 0.0, 0.0, 0.0,
                                min(map(_use, loads), default=CONTINUOUS),
                                max((load.duty for load in loads), default=1.0), -1, most_a=most_a))

    def standby(self, circuit: int, owner: tuple[str, str], number: int, current_a: float, system_v: float,
                tolerance: float) -> int:
        """Add the standby current of a load: constant, whatever the voltage."""
        return self._append(Row(STANDBY, owner, circuit, number, "electronic", current_a, system_v, 0.0, tolerance,
                                tolerance, CONTINUOUS, 1.0, -1))

    def coil(self, owner: tuple[str, str], coil_ohm: float, system_v: float) -> int:
        """Add a relay coil."""
        return self._append(Row(COIL, owner, -1, 0, "coil", system_v / coil_ohm, system_v, 1.0,
                                TOLERANCE["published"], TOLERANCE["published"], CONTINUOUS, 1.0, -1))

    def alternator(self, system_v: float) -> int:
        """Add the alternator: a consumer whose current is negative and set by the solver."""
        return self._append(Row(ALTERNATOR, ("alternator", ""), -1, 0, "electronic", 0.0, system_v, 0.0, 0.0, 0.0,
                                CONTINUOUS, 1.0, -1))


def _with_rank(possible: Flags, reference_a: Floats, groups: Sequence[Ints], by_name: Ints, rank: int) -> Flags:
    """What is on when of each group the consumer of this rank by current is, the last one where there are fewer; of
    equal currents the first by name, so that the order in the plan decides nothing."""
    on = possible.copy()
    for members in groups:
        able = possible[:, members]
        strongest = np.where(able, -reference_a[members], np.inf)
        order = np.lexsort((np.broadcast_to(by_name[members], strongest.shape), strongest), axis=2)
        place = np.minimum(rank, np.maximum(able.sum(axis=2) - 1, 0))
        picked = np.take_along_axis(order, place[:, :, None], axis=2)
        on[:, members] = able & (np.arange(members.shape[1]) == picked)
    return on


def starters(kind: Ints, load_kind: Sequence[str], reference_a: Floats, cranking: Flags, exponent: Floats,
             locked: Floats, system_v: float) -> tuple[Floats, Floats]:
    """Exponents and locked resistances (L,) with the law of a starter for each: its current is what the engine's drag
    asks, whatever the voltage, until it stalls. A starter is a load with a locked point, and a large motor that is on
    only while cranking."""
    motor = np.array([each == "motor" for each in load_kind], dtype=bool)
    large = (kind == LOAD) & motor & cranking & (reference_a > STARTER_A)
    usual = np.flatnonzero(large & (locked == 0)).tolist()
    locked = locked.copy()
    locked[usual] = [float(usual_locked_ohm(float(reference_a[each]), system_v)) for each in usual]
    return np.where(locked > 0, 0.0, exponent), locked


def freeze(collected: ConsumerRows, supply_node: Ints, return_node: Ints, wanted: Flags, live: Flags, cranked: Flags,
           system_v: float) -> Consumers:
    """Turn collected rows into arrays; `wanted` and `live` are (C, L), `cranked` says in which conditions (C,) the
    starter turns the engine."""
    found = tuple(zip(*collected.rows, strict=True)) or ((),) * len(Row._fields)
    columns: dict[str, Sequence[Any]] = dict(zip(Row._fields, found, strict=True))

    def floats(name: str) -> Floats:
        return np.array(columns[name], dtype=float)

    def ints(name: str) -> Ints:
        return np.array(columns[name], dtype=np.int64)

    exponent, reference, group = floats("exponent"), floats("reference_a"), ints("group")
    possible = wanted & live
    upper, most = floats("upper"), floats("most_a")
    largest = int(np.bincount(group[group >= 0]).max()) if len(collected.groups) else 1
    grouped = np.flatnonzero(group >= 0)
    groups = in_groups(group[grouped], grouped)
    by_name = np.zeros(len(group), dtype=np.int64)
    names = [(collected.rows[index].owner, collected.rows[index].number, index) for index in grouped.tolist()]
    by_name[[index for *_, index in sorted(names)]] = np.arange(len(names))
    chosen = [_with_rank(possible, reference, groups, by_name, rank) for rank in range(largest)]
    kind = ints("kind")
    if (kind == UNSTATED).any():
        chosen.append(chosen[0] & (kind != UNSTATED))
    load_kind = list(columns["load_kind"])
    only_cranking = np.asarray(possible[cranked].any(axis=0) & ~possible[~cranked].any(axis=0))
    exponent, locked = starters(kind, load_kind, reference, only_cranking, exponent, floats("locked_ohm"), system_v)
    given = np.stack([floats("inrush_given"), floats("inrush_given_s")])
    lacking = np.isnan(given)
    usual = np.ones((2, len(load_kind)))
    for index in np.flatnonzero(lacking.any(axis=0)).tolist():
        usual[:, index] = usual_inrush(load_kind[index])
    inrush, inrush_s = np.where(lacking, usual, given)
    return Consumers(
        kind=kind, owner=list(columns["owner"]), circuit=ints("circuit"),
        number=ints("number"), load_kind=load_kind, reference_a=reference,
        reference_v=floats("reference_v"), exponent=exponent, locked_ohm=locked,
        heating=floats("heating"), lower=floats("lower"), upper=upper,
        most_a=np.where(np.isnan(most), reference * (1.0 + upper), most),
        unstated=np.array(columns["unstated"], dtype=bool),
        # The starter turns the engine for seconds; what its circuit feeds at other times is a load like any other.
        use=np.where(np.array(columns["starts"], dtype=bool) & only_cranking, MOMENTARY, ints("use")),
        duty=floats("duty"), group=group, supply_node=supply_node, return_node=return_node,
        wanted=wanted, possible=possible, on=chosen[0], instead=tuple(chosen[1:]),
        inrush_given=given[0], inrush=inrush, inrush_s=inrush_s,
        inrush_assumed=lacking.any(axis=0) & (usual[0] > 1), guessed=np.array(columns["guessed"], dtype=bool),
    )
