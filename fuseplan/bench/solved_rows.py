"""Some rows of the bench's network, solved at the ends of what is not known: of each piece only what is on, and the
branches that then carry current.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.network import Network
from fuseplan.engine.part import part_of
from fuseplan.engine.passes import Rows
from fuseplan.engine.solve import solve_part
from fuseplan.engine.source import Source
from fuseplan.engine.tree import TreePart
from fuseplan.engine.warming import Side as WarmingSide
from fuseplan.engine.warming import Wires, wires_of
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.records import dataclass

GARAGE_C = 20.0
"""Temperature of the car while it is tested with the engine off."""
REST_V = 0.2
"""How far the voltage of a rested battery may lie from the plan's, on 12 V: 12.4 V is charged enough to test, 12.8 V is
full (common practice, no source)."""
REGULATOR_V, REGULATOR_ENTERED_V = 0.4, 0.2
"""The same for the regulator voltage, where none is entered, and where one is: published windows are 0.9 V wide."""
OUTPUT = 0.1
"""How far the output of an alternator may lie from its curve, as a share. Common practice, no source."""


@dataclass(frozen=True)
class Variant:
    """A piece at one end of what is not known, solved: rows for both ends of the currents, one after the other."""

    on: Ints
    """Consumers that are on in some row (K,)."""
    supply: TreePart
    returns: TreePart
    rows: Rows
    """Of these consumers and the nodes of these parts."""
    assumed: bool
    """Joints and contacts count at what is assumed of them, where nothing is known."""

    def root_v(self, row: int) -> float:
        """Battery post against battery negative [V]."""
        return float(self.rows.root_v[row])

    def battery_a(self, row: int) -> float:
        """Current out of the battery [A]."""
        return float(self.rows.battery_a[row])

    def alternator_a(self, row: int) -> float:
        """Current the alternator delivers [A]."""
        return float(self.rows.alternator_a[row])

    def supply_v(self, row: int, node: int) -> float:
        """A supply node against battery negative [V]: one that carries nothing is as the node it hangs on."""
        return float(self.rows.supply_v[row, self.supply.near[node]])

    def return_v(self, row: int, node: int) -> float:
        """A return node against battery negative [V]."""
        return float(self.rows.return_v[row, self.returns.near[node]])

    def supply_a(self, row: int, node: int) -> float:
        """Current of a supply branch [A]."""
        return _carried(self.supply, self.rows.supply_a, row, node)

    def return_a(self, row: int, node: int) -> float:
        """Current of a return branch [A]."""
        return _carried(self.returns, self.rows.return_a, row, node)

    def across_v(self, row: int, consumer: int) -> float:
        """Voltage across a consumer that is on in some row of the piece [V]; NaN for another."""
        place = self._place.get(consumer)
        return float("nan") if place is None else float(self.rows.across_v[row, place])

    def consumer_a(self, row: int, consumer: int) -> float:
        """Current of a consumer [A]."""
        place = self._place.get(consumer)
        return 0.0 if place is None else float(self.rows.consumer_a[row, place])

    @cached_property
    def _place(self) -> dict[int, int]:
        """Place of each consumer."""
        return {consumer: place for place, consumer in enumerate(self.on.tolist())}


def _carried(side: TreePart, current_a: Floats, row: int, node: int) -> float:
    place = side.near[node]
    return float(current_a[row, place]) if side.nodes[place] == node else 0.0


@dataclass(frozen=True)
class Piece:
    """Some rows of the bench's network, solved at every end."""

    network: Network
    source: Source
    cold: Variant
    """Everything as entered and at its upper bound, wires at the temperature of a garage."""
    hot: Variant
    """The same at the highest ambient of every zone, where in some row the engine runs; else as `cold`."""
    ends: tuple[Variant, ...]
    """The ends: cold wires without assumed joints and hot wires with them, each with the source at its lowest and its
    highest; the currents of each at their lower and upper bounds."""

    @property
    def count(self) -> int:
        """How many rows."""
        return len(self.network.conditions)


def solved_piece(network: Network, source: Source, fuse_ohm: Floats) -> Piece:
    """The rows of a network, solved; what its wires are is kept no longer than that takes.

    Args:
        fuse_ohm: cold resistance of each fuse [ohm] (J,)
    """
    on = np.flatnonzero(network.consumers.on.any(axis=0))
    part, supply, returns = part_of(network, on), network.supply.part(on), network.returns.part(on)
    hot = wires_of(network)

    def solved(of: Network, by: Source, wires: Wires, assumed: bool) -> Variant:
        return Variant(on, supply, returns, solve_part(of, part, by, fuse_ohm, wires), assumed)

    least = replace(network, consumers=replace(network.consumers, reference_a=network.consumers.least_a))
    bare = replace(network, supply_taken=np.zeros_like(network.supply_taken),
                   returns_taken=np.zeros_like(network.returns_taken))
    usual = solved(network, source, in_garage(network, hot), assumed=True)
    ends = tuple(solved(least, _shifted(network, source, sign), wires, assumed)
                 for wires, assumed in ((in_garage(bare, hot), False), (hot, True)) for sign in (-1.0, 1.0))
    return Piece(network, source, usual, solved(network, source, hot, assumed=True) if source.running.any() else usual,
                 ends)


def _shifted(network: Network, source: Source, sign: float) -> Source:
    plan, share = network.plan, network.system_v / 12.0
    entered = plan.alternator is not None and plan.alternator.regulator_voltage is not None
    reach = share * (REGULATOR_ENTERED_V if entered else REGULATOR_V)
    return replace(source, open_circuit_v=source.open_circuit_v + sign * REST_V * share,
                   regulator_v=source.regulator_v + sign * reach,
                   available_a=source.available_a * (1.0 + sign * OUTPUT))


def in_garage(network: Network, wires: Wires) -> Wires:
    """The same wires at the temperature of a garage: their rise over it for a current stays as it is."""
    segments = network.segments
    ohm = segments.r20_ohm * copper_temperature_factor(GARAGE_C)

    def side(old: WarmingSide, base: Floats, returns: bool) -> WarmingSide:
        cold = np.array(base)
        mine = segments.returns == returns
        np.add.at(cold, segments.branch[mine], ohm[mine])
        return replace(old, cold=cold)

    return replace(wires, supply=side(wires.supply, network.supply_base, False),
                   returns=side(wires.returns, network.returns_base, True))
