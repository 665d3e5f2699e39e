"""What is not known exactly of a car that is probed: temperature, voltage, resistances, currents."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.bench.diagnosis_tree import CarModel, Tested
from fuseplan.engine.consumers import ALTERNATOR, COIL
from fuseplan.engine.network import Network
from fuseplan.engine.source import Source
from fuseplan.records import dataclass
from fuseplan.results.address import joined

UNIFORM = 3.0**-0.5
"""Standard deviation of what lies anywhere within ±1."""
VOLTAGE, OUTPUT = 1, 2
SOURCE_MOVES = 3
"""The first unknowns of every car: temperature of the wires, and the two of its source."""
SPREAD = 0.8
"""Standard deviation of a load's current over its tolerance; what lies outside the tolerance is left out afterwards, so
that all values within are about alike."""


@dataclass(frozen=True)
class Settings:
    """The conditions readings are taken in, S of them, as rows of the bench's network."""

    network: Network
    source: Source
    rows: Ints
    """(S,)."""

    @property
    def still(self) -> Flags:
        """Those in which no alternator charges (S,)."""
        return np.asarray(self.source.available_a[self.rows] <= 0)


@dataclass(frozen=True)
class Moves:
    """What is not known exactly, P things, each moved by one standard deviation."""

    of_load: tuple[str, ...]
    """Path of the load whose current each of them is, empty for the others (P)."""
    supply_ohm: Floats
    """(N, P), for wires at 20 °C; what follows the temperature comes to it."""
    return_ohm: Floats
    factor: Floats
    """(K, P)."""
    kelvin: Flags
    """Which of them is the temperature of all wires (P,)."""
    source: Ints
    """`VOLTAGE` for that of battery and regulator, `OUTPUT` for that of the alternator, 0 for the others (P,)."""

    @property
    def reversed(self) -> Moves:
        """All resistances and currents moved the other way; temperature and source as they are."""
        return replace(self, supply_ohm=-self.supply_ohm, return_ohm=-self.return_ohm, factor=-self.factor)

    @property
    def none(self) -> Moves:
        """Nothing moved."""
        return Moves((), self.supply_ohm[:, :0], self.return_ohm[:, :0], self.factor[:, :0], self.kelvin[:0],
                     self.source[:0])


def moves_of(model: CarModel, settings: Settings) -> Moves:
    """The things that are not known exactly, as far as they move readings of the circuits asked about."""
    consumers = settings.network.consumers
    found: list[tuple[str, Floats, Floats, Floats]] = []
    n, m, k = model.supply.tree.count, model.returns.tree.count, len(model.consumers)

    def move(supply: Floats | None = None, back: Floats | None = None, factor: Floats | None = None,
             load: str = "") -> None:
        found.append((load, np.zeros(n) if supply is None else supply, np.zeros(m) if back is None else back,
                      np.zeros(k) if factor is None else factor))

    for _ in range(SOURCE_MOVES):
        move()
    supply_path, return_path = (_path(side, model) for side in (model.supply, model.returns))
    for side, path, back in ((model.supply, supply_path, False), (model.returns, return_path, True)):
        for node in np.flatnonzero(path & (side.spread_ohm > 0)).tolist():
            added = np.zeros(side.tree.count)
            added[node] = side.spread_ohm[node]
            move(None if back else added, added if back else None)
    on = np.asarray(consumers.on[settings.rows][:, model.consumers].any(axis=0))
    share = UNIFORM * 0.5 * (consumers.lower + consumers.upper)[model.consumers]
    amps = consumers.reference_a[model.consumers]
    groups: dict[tuple[int, int], list[int]] = {}
    for place, index in enumerate(model.consumers.tolist()):
        if not on[place] or share[place] <= 0 or consumers.kind[index] == ALTERNATOR:
            continue
        kind, name = consumers.owner[index]
        if kind == "circuit" and name in model.circuits and consumers.kind[index] != COIL:
            factor = np.zeros(k)
            factor[place] = SPREAD * 0.5 * (consumers.lower + consumers.upper)[index]
            move(factor=factor, load=joined(("circuit", name, "load", str(int(consumers.number[index])))))
        else:
            groups.setdefault((_near(model.supply, supply_path, place), _near(model.returns, return_path, place)),
                              []).append(place)
    for members in groups.values():
        total = amps[members].sum()
        if total > 0:
            factor = np.zeros(k)
            factor[members] = np.sqrt(((amps[members] * share[members])**2).sum()) / total
            move(factor=factor)
    # Those of loads stand right behind the first, in every wiring of the car.
    found[SOURCE_MOVES:] = sorted(found[SOURCE_MOVES:], key=lambda each: not each[0])
    loads, supply_ohm, return_ohm, factors = zip(*found, strict=True)
    number = np.arange(len(loads))
    return Moves(tuple(loads), np.array(supply_ohm).T, np.array(return_ohm).T, np.array(factors).T, number == 0,
                 np.where(number < SOURCE_MOVES, number, 0))


def _path(side: Tested, model: CarModel) -> Flags:
    """The nodes a current of the circuits asked about passes (N,)."""
    found = np.zeros(side.tree.count, dtype=bool)
    consumers = model.results.network.consumers
    for place, index in enumerate(model.consumers.tolist()):
        kind, name = consumers.owner[index]
        if (kind == "circuit" and name in model.circuits) or (kind == "alternator" and not model.circuits):
            found[side.tree.way(int(side.node[place]))] = True
    return found


def _near(side: Tested, path: Flags, place: int) -> int:
    """The node nearest to a consumer that currents of the circuits asked about pass."""
    node = int(side.node[place])
    while node != 0 and not path[node]:
        node = int(side.tree.parent[node])
    return node
