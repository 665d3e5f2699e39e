"""Many faulty cars solved at once by the engine's solver: every case of a fault, in every condition asked about, with
each thing that is not known exactly moved by its standard deviation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.bench.diagnosis_tree import CarModel, Tested
from fuseplan.bench.diagnosis_unknowns import OUTPUT, UNIFORM, VOLTAGE, Moves, Settings
from fuseplan.bench.solved_rows import OUTPUT as OUTPUT_REACH
from fuseplan.bench.solved_rows import REST_V
from fuseplan.engine.passes import Rows, impossible, settle
from fuseplan.engine.source import Source
from fuseplan.engine.warming import COPPER_PER_K, Side, Wires
from fuseplan.records import dataclass

STILL_C, RUNNING_C = (22.0, 10.0), (45.0, 20.0)
"""Temperature of the wires with the engine off and running, and one standard deviation. Common practice, no source."""
OUTPUT_SPREAD = OUTPUT_REACH * UNIFORM
"""How far the output of an alternator may lie from its curve, one standard deviation."""
COLUMNS_AT_ONCE = 2000


class Spot(NamedTuple):
    """A node of one side."""

    returns: bool
    node: int


@dataclass(frozen=True)
class Quantity:
    """Something a meter shows: the voltage between two spots, or a current."""

    setting: int
    plus: Spot | None = None
    minus: Spot | None = None
    """None is battery negative."""
    amps_of: tuple[str, int] | None = None
    """("supply" | "returns" | "consumer" | "alternator" | "battery", number) for a current."""


@dataclass()
class Cases:
    """Faulty cars, C of them, as changes of a network in good order."""

    supply_ohm: Floats
    """Added to each supply branch (N, C)."""
    return_ohm: Floats
    """Added to each return branch (M, C)."""
    factor: Floats
    """Share of its current each consumer draws (K, C)."""
    open_at: list[Spot | None]
    """Where each is interrupted, if it is."""
    battery_v: Floats
    """Added to the voltage of the battery (C,)."""
    output: Floats
    """Share of its output the alternator gives (C,)."""
    battery_ohm: Floats
    """Added to the internal resistance of the battery (C,)."""

    @classmethod
    def healthy(cls, model: CarModel, count: int) -> Cases:
        """Cars in good order."""
        return cls(np.zeros((model.supply.tree.count, count)), np.zeros((model.returns.tree.count, count)),
                   np.ones((len(model.consumers), count)), [None] * count, np.zeros(count), np.ones(count),
                   np.zeros(count))


def solved(model: CarModel, settings: Settings, cases: Cases, moves: Moves, quantities: Sequence[Quantity]
           ) -> tuple[Floats, Floats]:
    """What meters show in faulty cars.

    Returns:
        (values, slopes): arrays (C, Q) in V and A, and (C, Q, P), the change of each by one standard deviation of each
        unknown; NaN where a car has no state that battery, alternator and wires allow.
    """
    count, many = cases.factor.shape[1], len(moves.of_load)
    values = np.empty((count, len(quantities)))
    slopes = np.empty((count, len(quantities), many))
    step = max(1, COLUMNS_AT_ONCE // (len(settings.rows) * (many + 1)))
    for low in range(0, count, step):
        part = slice(low, min(low + step, count))
        found = _solve(model, settings, cases, moves, quantities, part)
        values[part] = found[..., 0]
        slopes[part] = found[..., 1:] - found[..., :1]
    _other_way(model, settings, cases, moves, quantities, values, slopes)
    return values, slopes


def _other_way(model: CarModel, settings: Settings, cases: Cases, moves: Moves, quantities: Sequence[Quantity],
               values: Floats, slopes: Floats) -> None:
    """Fill in slopes where a car has a state, but none with an unknown moved: a supply close to what its loads of
    constant power can live on. The unknown is moved the other way; where that has no state either, not at all."""
    solved = np.asarray(np.isfinite(values).all(axis=1))
    lost = np.asarray(solved[:, None] & ~np.isfinite(slopes).all(axis=1))
    for number in np.flatnonzero(lost.any(axis=1)).tolist():
        found = _solve(model, settings, cases, moves.reversed, quantities, slice(number, number + 1))[0]
        turned = np.nan_to_num(found[..., :1] - found[..., 1:])
        slopes[number][:, lost[number]] = turned[:, lost[number]]


def _solve(model: CarModel, settings: Settings, cases: Cases, moves: Moves, quantities: Sequence[Quantity],
           part: slice) -> Floats:
    """(C, Q, 1 + P) for some cases."""
    consumers, still = settings.network.consumers, settings.still
    s, c, p = len(settings.rows), len(cases.battery_v[part]), len(moves.of_load) + 1
    shape = (s, c, p)
    rise, spread = (np.where(still, STILL_C[at], RUNNING_C[at]) for at in (0, 1))
    kelvin = np.zeros((s, p))
    kelvin += (rise - 20.0)[:, None]
    kelvin[:, 1:] += spread[:, None] * moves.kelvin

    def ohms(side: Tested, added: Floats, moved: Floats) -> Floats:
        wide = np.concatenate([np.zeros((len(moved), 1)), moved], axis=1)
        found = (side.copper_ohm[:, None, None] * COPPER_PER_K * kelvin)[:, :, None, :] \
            + added[:, None, part, None] + wide[:, None, None, :]
        return np.broadcast_to(np.maximum(found, -0.9 * side.ohm[:, None, None, None]),
                               (side.tree.count, *shape)).reshape(side.tree.count, -1)

    factor = cases.factor[:, None, part, None] * (1.0 + np.concatenate(
        [np.zeros((len(model.consumers), 1)), moves.factor], axis=1))[:, None, None, :]
    drawn = (consumers.on[settings.rows][:, model.consumers] * consumers.reference_a[model.consumers]).T
    reference = np.broadcast_to(drawn[:, :, None, None] * factor, (len(model.consumers), *shape)).reshape(
        len(model.consumers), -1)
    supply_ohm, return_ohm = (ohms(model.supply, cases.supply_ohm, moves.supply_ohm),
                              ohms(model.returns, cases.return_ohm, moves.return_ohm))
    columns = np.arange(s * c * p).reshape(shape)
    shifted = np.concatenate([[0], moves.source])
    fields = _Fields.empty(model, s * c * p)
    of_source = np.stack([cases.battery_v[part], cases.output[part], cases.battery_ohm[part]], axis=1)
    moved_v = REST_V * UNIFORM * settings.network.system_v / 12.0
    for volts, output, ohm in np.unique(of_source, axis=0).tolist():
        mine = (of_source == (volts, output, ohm)).all(axis=1)
        for move in np.unique(shifted).tolist():
            where = columns[:, mine][:, :, shifted == move].reshape(-1)
            if where.size:
                shift = moved_v if move == VOLTAGE else 0.0
                less = 1.0 - OUTPUT_SPREAD if move == OUTPUT else 1.0
                source = replace(
                    settings.source, internal_ohm=settings.source.internal_ohm[settings.rows] + ohm,
                    open_circuit_v=settings.source.open_circuit_v[settings.rows] + volts + shift,
                    available_a=settings.source.available_a[settings.rows] * output * less,
                    regulator_v=settings.source.regulator_v + shift)
                _settle(model, source, where, where // (c * p), supply_ohm, return_ohm, reference, fields)
    for number, spot in enumerate(cases.open_at[part]):
        if spot is not None:
            _float(model, fields, consumers.on[settings.rows][:, model.consumers], spot, columns[:, number])
    for number in range(s):
        fields.supply_v[np.ix_(_dead(model, consumers.on[settings.rows[number]]), columns[number].reshape(-1))] = 0.0
    found = np.stack([fields.read(quantity, columns[quantity.setting].reshape(-1)) for quantity in quantities])
    return np.moveaxis(found.reshape(len(quantities), c, p), 0, 1)


def _wires(model: CarModel, settings: int) -> Wires:
    """Branches that do not warm."""
    def side(tested: Tested) -> Side:
        shape = (settings, tested.tree.count)
        return Side(tested.ohm, np.zeros(shape), np.ones(shape))

    nothing = np.zeros((settings, 0))
    return Wires(nothing, np.zeros((settings, 0), dtype=np.int64), np.zeros(0), nothing, side(model.supply),
                 side(model.returns))


def _settle(model: CarModel, source: Source, where: Ints, at: Ints, supply_ohm: Floats, return_ohm: Floats,
            reference: Floats, fields: _Fields) -> None:
    """Solve some columns, which are in these settings, with one source."""
    guess = np.full(len(where), np.nan)
    rows, _, moving = settle(model.part, source, supply_ohm[:, where], _wires(model, len(source.open_circuit_v)), at,
                             reference[:, where], guess, np.repeat(guess[:, None], len(model.consumers), axis=1),
                             return_ohm[:, where])
    fields.put(where, rows, impossible(model.part.laws, source, at, reference[:, where], rows, moving))


def _dead(model: CarModel, on: Flags) -> Flags:
    """Supply nodes behind a switch or relay contact that is open, as nothing behind it is on (N,)."""
    side, feeds = model.supply, np.zeros(model.supply.tree.count, dtype=bool)
    feeds[list(model.feed_node.values())] = True
    of_feed = np.array([element is not None and element.kind == "feed" for element in side.elements], dtype=bool)
    alive = feeds | of_feed
    for node in side.node[on[model.consumers]].tolist():
        alive[side.tree.way(node)] = True
    for low, high in side.tree.levels:
        parent = side.tree.parent[low:high]
        alive[low:high] |= alive[parent] & ~feeds[parent]
    alive[0] = True
    return np.asarray(~alive)


@dataclass()
class _Fields:
    """All voltages and currents, a column a car."""

    supply_v: Floats
    return_v: Floats
    supply_a: Floats
    return_a: Floats
    consumer_a: Floats
    battery_a: Floats

    @classmethod
    def empty(cls, model: CarModel, columns: int) -> _Fields:
        n, m, k = model.supply.tree.count, model.returns.tree.count, len(model.consumers)
        return cls(*(np.full((rows, columns), np.nan) for rows in (n, m, n, m, k, 1)))

    def put(self, where: Ints, rows: Rows, lost: Ints) -> None:
        """Take over solved columns; those that are no state a car can be in stay NaN."""
        good = np.ones(len(where), dtype=bool)
        good[lost] = False
        for name in ("supply_v", "return_v", "supply_a", "return_a", "consumer_a"):
            getattr(self, name)[:, where[good]] = getattr(rows, name)[good].T
        self.battery_a[0, where[good]] = rows.battery_a[good]

    def read(self, quantity: Quantity, columns: Ints) -> Floats:
        """What a meter shows in some columns."""
        if quantity.amps_of is not None:
            kind, number = quantity.amps_of
            field = {"supply": self.supply_a, "returns": self.return_a, "consumer": self.consumer_a,
                     "alternator": self.consumer_a,
                     "battery": self.battery_a}[kind]
            return np.asarray(field[number, columns]) * (-1.0 if kind == "alternator" else 1.0)
        found = np.zeros(len(columns))
        for spot, sign in ((quantity.plus, 1.0), (quantity.minus, -1.0)):
            if spot is not None:
                found += sign * (self.return_v if spot.returns else self.supply_v)[spot.node, columns]
        return found


def _float(model: CarModel, fields: _Fields, on: Flags, spot: Spot, columns: Ints) -> None:
    """Give what is cut off the voltage of the other side, which the loads that are on behind it (S, K) pass on without
    a current; columns (S, …)."""
    mine, other = (model.returns, model.supply) if spot.returns else (model.supply, model.returns)
    field, far = (fields.return_v, fields.supply_v) if spot.returns else (fields.supply_v, fields.return_v)
    behind = mine.behind(spot.node)
    amps = model.results.network.consumers.reference_a[model.consumers]
    for setting, where in enumerate(columns.reshape(len(columns), -1)):
        members = np.flatnonzero(behind[mine.node] & on[setting] & (amps > 0))
        volts: Floats | float = 0.0
        if members.size:
            volts = amps[members] @ far[np.ix_(other.node[members], where)] / amps[members].sum()
        field[np.ix_(behind, where)] = volts
