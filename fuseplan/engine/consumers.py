"""Everything that draws current, as arrays: loads, their standby currents, relay coils, and the alternator."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Load
from fuseplan.plan.words import TOLERANCE, USES
from fuseplan.tables import loads as load_tables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

LOAD, STANDBY, COIL, ALTERNATOR = range(4)
CONTINUOUS, PROLONGED, INTERMITTENT, MOMENTARY = range(len(USES))
_USE = {use: number for number, use in enumerate(USES)}

CHARGING_VOLTAGE = 13.5 / 12.0
"""A current given without its voltage is taken at the test voltage of a 12 V system, 13.5 V (SAE J56), scaled."""


@dataclass
class ConsumerRows:
    """Consumers as they are collected, one entry each."""

    kind: list[int] = field(default_factory=list)
    owner: list[tuple[str, str]] = field(default_factory=list)
    circuit: list[int] = field(default_factory=list)
    number: list[int] = field(default_factory=list)
    load_kind: list[str] = field(default_factory=list)
    reference_a: list[float] = field(default_factory=list)
    reference_v: list[float] = field(default_factory=list)
    exponent: list[float] = field(default_factory=list)
    tolerance: list[float] = field(default_factory=list)
    use: list[int] = field(default_factory=list)
    duty: list[float] = field(default_factory=list)
    group: list[int] = field(default_factory=list)
    groups: dict[str, int] = field(default_factory=dict)

    def _append(self, kind: int, owner: tuple[str, str], circuit: int, number: int, load_kind: str, reference_a: float,
                reference_v: float, exponent: float, tolerance: float, use: int, duty: float, group: int) -> int:
        self.kind.append(kind)
        self.owner.append(owner)
        self.circuit.append(circuit)
        self.number.append(number)
        self.load_kind.append(load_kind)
        self.reference_a.append(reference_a)
        self.reference_v.append(reference_v)
        self.exponent.append(exponent)
        self.tolerance.append(tolerance)
        self.use.append(use)
        self.duty.append(duty)
        self.group.append(group)
        return len(self.kind) - 1

    def load(self, circuit: int, circuit_id: str, number: int, load: Load, system_v: float,
             tolerances: Mapping[str, float], missing: list[str]) -> int:
        """Add one load; what its figures lack is appended to `missing` in words."""
        name = load.name or f"load {number + 1}"
        current, voltage = nominal(load, system_v)
        if math.isnan(current):
            missing.append(f"current or power of '{name}'")
            current = 0.0
        if load.kind is None:
            missing.append(f"kind of load of '{name}'")
        kind = load.kind or "resistive"
        group = -1 if load.either is None else self.groups.setdefault(load.either, len(self.groups))
        return self._append(LOAD, ("circuit", circuit_id), circuit, number, kind, current, voltage,
                            load_tables.EXPONENTS[kind], tolerances[load.evidence or "guess"], _USE[load.use],
                            load.duty, group)

    def standby(self, circuit: int, circuit_id: str, number: int, current_a: float, system_v: float,
                tolerance: float) -> int:
        """Add the standby current of a load: constant, whatever the voltage."""
        return self._append(STANDBY, ("circuit", circuit_id), circuit, number, "electronic", current_a, system_v, 0.0,
                            tolerance, CONTINUOUS, 1.0, -1)

    def coil(self, owner: tuple[str, str], coil_ohm: float, system_v: float) -> int:
        """Add a relay coil."""
        return self._append(COIL, owner, -1, 0, "coil", system_v / coil_ohm, system_v, 1.0, TOLERANCE["published"],
                            CONTINUOUS, 1.0, -1)

    def alternator(self, system_v: float) -> int:
        """Add the alternator: a consumer whose current is negative and set by the solver."""
        return self._append(ALTERNATOR, ("alternator", ""), -1, 0, "electronic", 0.0, system_v, 0.0, 0.0, CONTINUOUS,
                            1.0, -1)


def nominal(load: Load, system_v: float) -> tuple[float, float]:
    """Running current of a load as entered and the voltage it is stated at: (A, V); NaN A where none is given."""
    if load.current is not None:
        return float(load.current), float(load.at) if load.at else system_v * CHARGING_VOLTAGE
    if load.power is not None:
        voltage = float(load.at) if load.at else system_v
        return float(load.power) / voltage, voltage
    return math.nan, float(load.at) if load.at else system_v * CHARGING_VOLTAGE


def tolerances_of(plan: Plan) -> dict[str, float]:
    """Tolerance by evidence, the plan's own winning."""
    return TOLERANCE | {str(key): float(value) for key, value in plan.tolerance.items()}


@dataclass(frozen=True)
class Consumers:
    """All consumers as arrays of length L."""

    kind: Ints
    owner: list[tuple[str, str]]
    circuit: Ints
    """Number of the circuit, -1 for coils and the alternator."""
    number: Ints
    """Number of the load in its circuit."""
    load_kind: list[str]
    reference_a: Floats
    reference_v: Floats
    exponent: Floats
    tolerance: Floats
    use: Ints
    duty: Floats
    group: Ints
    supply_node: Ints
    return_node: Ints
    wanted: Flags
    """(C, L): one of its words is among the condition's."""
    possible: Flags
    """(C, L): wanted and live."""
    on: Flags
    """(C, L): possible, and not excluded by a stronger load of its `either` group."""
    instead: tuple[Flags, ...]
    """(C, L) each: the same with the second, third … of each group on instead of the strongest."""
    lamps: Ints
    """Consumers whose current follows a power of the voltage other than 1, 0 and -1."""
    constant_power: Ints
    constant_current: Ints

    @property
    def count(self) -> int:
        return len(self.kind)

    def currents(self, voltage_v: Floats, reference_a: Floats) -> Floats:
        """Current of every consumer at the voltage across it.

        ``I = I_ref · (U / U_ref)^n`` with U held at half of U_ref or more for constant-power loads, which stop
        working below that.

        Parameters
        ----------
        voltage_v : array (R, L) [V]
        reference_a : array (R, L), 0 where off [A]

        Returns
        -------
        array (R, L) [A]
        """
        ratio = np.maximum(voltage_v, 0.0) / self.reference_v
        current = reference_a * ratio
        if self.lamps.size:
            columns = self.lamps
            current[:, columns] = reference_a[:, columns] * ratio[:, columns] ** self.exponent[columns]
        if self.constant_power.size:
            columns = self.constant_power
            current[:, columns] = reference_a[:, columns] / np.maximum(ratio[:, columns], 0.5)
        if self.constant_current.size:
            columns = self.constant_current
            current[:, columns] = reference_a[:, columns]
        return current


def _with_rank(possible: Flags, reference_a: Floats, group: Ints, rank: int) -> Flags:
    """What is on when of each group the consumer of this rank by current is, the last one where there are fewer."""
    on = possible.copy()
    members = np.flatnonzero(group >= 0)
    by_group = members[np.argsort(group[members], kind="stable")]
    _, first, size = np.unique(group[by_group], return_index=True, return_counts=True)
    for begin, count in zip(first.tolist(), size.tolist(), strict=True):
        if count == 1:
            continue
        chosen = by_group[begin:begin + count]
        able = possible[:, chosen]
        order = np.argsort(np.where(able, -reference_a[chosen], np.inf), axis=1, kind="stable")
        place = np.minimum(rank, np.maximum(able.sum(axis=1) - 1, 0))
        picked = order[np.arange(len(order)), place]
        on[:, chosen] &= np.arange(count) == picked[:, None]
    return on


def freeze(rows: ConsumerRows, supply_node: Ints, return_node: Ints, wanted: Flags, live: Flags) -> Consumers:
    """Turn collected rows into arrays; `wanted` and `live` are (C, L)."""
    exponent = np.array(rows.exponent, dtype=float)
    reference = np.array(rows.reference_a, dtype=float)
    group = np.array(rows.group, dtype=np.int64)
    possible = wanted & live
    largest = int(np.bincount(group[group >= 0]).max()) if len(rows.groups) else 1
    chosen = [_with_rank(possible, reference, group, rank) for rank in range(largest)]
    return Consumers(
        kind=np.array(rows.kind, dtype=np.int64), owner=rows.owner, circuit=np.array(rows.circuit, dtype=np.int64),
        number=np.array(rows.number, dtype=np.int64), load_kind=rows.load_kind, reference_a=reference,
        reference_v=np.array(rows.reference_v, dtype=float), exponent=exponent,
        tolerance=np.array(rows.tolerance, dtype=float), use=np.array(rows.use, dtype=np.int64),
        duty=np.array(rows.duty, dtype=float), group=group, supply_node=supply_node, return_node=return_node,
        wanted=wanted, possible=possible, on=chosen[0], instead=tuple(chosen[1:]),
        lamps=np.flatnonzero((exponent != 1) & (exponent != 0) & (exponent != -1)),
        constant_power=np.flatnonzero(exponent == -1), constant_current=np.flatnonzero(exponent == 0),
    )
