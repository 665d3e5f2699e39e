"""How the branches of the network warm with their current: ampacities in every condition, and resistances from them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.consumers import LOADED_A, UNSTATED
from fuseplan.engine.neighbours import ampacities
from fuseplan.engine.network import Network
from fuseplan.engine.ratios import ratio
from fuseplan.formulas.resistance import copper_temperature_factor, wire_resistance
from fuseplan.formulas.thermal import conductor_temperature
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.trace import Series, apply, bare, chosen, decided, given, in_series, recording, smallest
from fuseplan.trace.vocabulary import Names

SHORTEST_HEATING_S = 60.0
"""A condition shorter than this leaves a conductor at its ambient temperature."""
HOTTEST_SHARE = 2.0
"""Heating is followed up to this multiple of the ampacity of a branch's weakest segment; beyond, the wire has long
failed its check and the square law no longer holds."""

CAPPED = (f"heating is not followed beyond {writing.stated(HOTTEST_SHARE)} times what the weakest wire of this branch "
          "may carry: it has long failed, and the square law no longer holds")


@dataclass(frozen=True)
class Side:
    """The branches of one tree: ``R = cold + warm · min(I, cap)²`` from the segments that make each branch.

    `cold` is (N,) without the fuses; `warm` and `cap` are (C, N).
    """

    cold: Floats
    warm: Floats
    cap: Floats


class Branches(NamedTuple):
    """How the branches of one tree warm in each row: arrays (N, 1) and (N, R)."""

    cold: Floats
    warm: Floats
    cap: Floats

    @classmethod
    def of(cls, side: Side, at: Ints, nodes: Ints | slice, added_ohm: Floats | float = 0.0) -> Branches:
        """The branches of some nodes in the conditions of the rows, with what is added to their resistance, of all rows
        (N,) or of each (N, R); rows that are all of one condition share a column."""
        rows = at[:1] if at.size and (at == at[0]).all() else at
        added = np.asarray(added_ohm)
        cold = side.cold[:, None] + (added if added.ndim == 2 else added[..., None])
        return cls(cold[nodes], side.warm.T[nodes].take(rows, axis=1), side.cap.T[nodes].take(rows, axis=1))

    def ohm(self, current_a: Floats) -> Floats:
        """Resistance at a current, (N, R): ``cold + warm · min(I, cap)²``."""
        found = np.abs(current_a)
        np.minimum(found, self.cap, out=found)
        np.square(found, out=found)
        found *= self.warm
        found += self.cold
        return found


@dataclass(frozen=True)
class Wires:
    """What does not change from pass to pass: ampacities and how the branches warm."""

    ampacity_a: Floats
    loaded: Ints
    limit_a: Floats
    """Ampacity of each segment in the worst condition in which it carries current (S,) [A]."""
    rise_per_a2: Floats
    """Conductor rise over the square of the current (C, S) [K/A²]."""
    supply: Side
    returns: Side


def _side(network: Network, chosen: Ints, base: Floats, rise_per_a2: Floats, ampacity_a: Floats) -> Side:
    segments = network.segments
    conditions, count = rise_per_a2.shape[0], len(base)
    cold = base.copy()
    warm, cap = np.zeros((conditions, count)), np.full((conditions, count), np.inf)
    if chosen.size:
        order = chosen[np.argsort(segments.branch[chosen], kind="stable")]
        nodes, first = np.unique(segments.branch[order], return_index=True)
        at_ambient = segments.r20_ohm * copper_temperature_factor(segments.ambient_c)
        cold[nodes] += np.add.reduceat(at_ambient[order], first)
        per_k = segments.r20_ohm * COPPER_PER_K
        warm[:, nodes] = np.add.reduceat((per_k * rise_per_a2)[:, order], first, axis=1)
        limit = np.where(rise_per_a2 > 0, HOTTEST_SHARE * ampacity_a, np.inf)
        cap[:, nodes] = np.minimum.reduceat(limit[:, order], first, axis=1)
    return Side(cold, warm, cap)


COPPER_PER_K = float(copper_temperature_factor(21.0) - copper_temperature_factor(20.0))
"""Change of copper's resistance per kelvin, as a share of that at 20 °C."""


def wires_of(network: Network) -> Wires:
    """Ampacities in every condition, and how each branch warms with its current."""
    segments, nominal = network.segments, loading_currents(network)
    ampacity, loaded = ampacities(segments, len(network.plan.run), nominal, network.limit_set)
    headroom = np.maximum(bare(segments.max_c) - bare(segments.ambient_c), 0.0)
    heated = (network.duration_s >= SHORTEST_HEATING_S)[:, None]
    rise = np.where(heated, ratio(headroom, bare(ampacity)**2), 0.0)
    rise = np.where(np.isfinite(rise), rise, 0.0)
    numbers = np.arange(segments.count)
    names = network.names.condition
    carrying = _least(np.where(nominal > 0, ampacity, np.inf), "least in the conditions in which it carries current",
                      names)
    alone = _least(ampacity, "least in any condition", names)
    return Wires(
        ampacity_a=ampacity, loaded=loaded, rise_per_a2=rise,
        limit_a=np.where(np.isinf(carrying) | np.isnan(ampacity).any(axis=0), alone, carrying),
        supply=_side(network, numbers[~segments.returns], network.supply_base, rise, ampacity),
        returns=_side(network, numbers[segments.returns], network.returns_base, rise, ampacity),
    )


def _least(ampacity_a: Floats, words: str, names: Names) -> Floats:
    """The least over the conditions, infinite without any."""
    return np.asanyarray(smallest(ampacity_a, 0, words, names)) if len(ampacity_a) else np.full(ampacity_a.shape[1],
                                                                                               np.inf)


def loading_currents(network: Network) -> Floats:
    """Current of each segment by which it counts as loaded beside others, in every condition (C, S) [A]: that of its
    loads as entered; one to a load of unknown current, or of a circuit without its loads, counts as loaded."""
    consumers, owners = network.consumers, network.segments.owner
    loading = np.where(consumers.on, consumers.loading_a, 0.0)
    found = segment_currents(network, network.supply.branch_sums(loading), network.returns.branch_sums(loading))
    bare = {consumers.owner[number]: number for number in np.flatnonzero(consumers.kind == UNSTATED).tolist()
            if not network.plan.circuit[consumers.owner[number][1]].load}
    for index, owner in enumerate(owners if bare else ()):
        if owner in bare:
            found[consumers.on[:, bare[owner]], index] = LOADED_A
    return found


def conductor_c(network: Network, wires: Wires, at: Ints, supply_a: Floats, return_a: Floats) -> Floats:
    """Temperature of each segment's conductor (R, S) in conditions `at` (R,), from the currents of the branches."""
    segments, warms = network.segments, wires.rise_per_a2[at] > 0
    currents = [np.minimum(np.abs(current), given(side.cap[at], "I", "A", CAPPED, "limit of this program"))
                for current, side in ((supply_a, wires.supply), (return_a, wires.returns))]
    with np.errstate(divide="ignore", invalid="ignore"):
        warm = apply(conductor_temperature, ambient_c=segments.ambient_c, max_c=segments.max_c,
                     current_a=segment_currents(network, *currents), ampacity_a=wires.ampacity_a[at])

    def words(row: int, segment: int) -> str:
        condition = int(at[row])
        if network.duration_s[condition] < SHORTEST_HEATING_S:
            return (f"'{network.condition_ids[condition]}' lasts less than "
                    f"{writing.stated(SHORTEST_HEATING_S, 's')}: the wire is taken at its ambient")
        why = "no current is on file for it" if np.isnan(wires.ampacity_a[condition, segment]) else \
            "its ambient is at its insulation's limit"
        return f"{why}: taken at its ambient"

    ambient = np.broadcast_to(segments.ambient_c, warms.shape)
    cool = decided(ambient, "T", "°C", words, "common practice, no source", ambient)
    return np.asanyarray(chosen(warms, warm, cool, ""))


def hot_ohm(network: Network, conductor_c: Floats) -> Floats:
    """Resistance of each segment at conductor temperatures (…, S) [ohm]; 0 where its size or length is unknown."""
    segments = network.segments
    factor = apply(copper_temperature_factor, temperature_c=conductor_c)
    ohm = apply(wire_resistance, r20_ohm_per_m=segments.r20_ohm_per_m, length_m=segments.length_m,
                temperature_factor=factor)
    return np.asanyarray(chosen(segments.r20_known, ohm, 0.0, "size or length not given: counted as nothing"))


def branch_ohm(network: Network, returns: bool, segment_ohm: Floats, base_ohm: Floats, fuse_ohm: Floats) -> Floats:
    """Resistance of each branch of a side (…, N) [ohm], from that of its segments (…, S), its contacts and joints (N,)
    and on the supply side its fuse (J,)."""
    segments, names = network.segments, network.names
    mine = np.flatnonzero(segments.returns == returns)
    found = np.empty((*segment_ohm.shape[:-1], len(base_ohm)))
    found[:] = bare(base_ohm)
    if not returns:
        np.add.at(found.T, network.fuse_node, bare(fuse_ohm).reshape(-1, *[1] * (found.ndim - 1)))
    np.add.at(found.T, segments.branch[mine], bare(segment_ohm)[..., mine].T)
    if not recording():
        return found
    wires = [mine[segments.branch[mine] == node] for node in range(len(base_ohm))]
    fuses = [np.flatnonzero(network.fuse_node == node) for node in range(len(base_ohm))]
    parts = [Series(segment_ohm, wires.__getitem__, lambda *place: names.segment(place[-1])),
             Series(fuse_ohm, fuses.__getitem__, lambda device: f"{network.fuse_kinds[device]} fuse, cold"),
             Series(base_ohm, lambda node: np.array([node]), "contacts and joints")]
    if returns:
        del parts[1]
    return np.asanyarray(in_series(found, parts, lambda *place: f"{names.branch(returns, place[-1])}, in series"))


def segment_currents(network: Network, supply_a: Floats, return_a: Floats) -> Floats:
    """Current of each segment, (R, S), from the currents of the branches (R, N), (R, M)."""
    found = np.concatenate([supply_a.T, return_a.T]).take(network.segment_column, axis=0)
    np.abs(found, out=found)
    return found.T
