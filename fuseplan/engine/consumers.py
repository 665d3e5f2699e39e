"""Everything that draws current, as arrays: loads, their standby currents, relay coils, and the alternator. They are
made in `consumer_rows`."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.laws import Laws
from fuseplan.plan.words import USES
from fuseplan.records import dataclass
from fuseplan.tables.distinct import distinct

LOAD, STANDBY, COIL, ALTERNATOR, UNSTATED = range(5)
"""The last is what a circuit may draw through its fuse beyond what its plan states; it has no load of its own."""
CONTINUOUS, PROLONGED, INTERMITTENT, MOMENTARY = range(len(USES))

STARTER_A = 60.0
"""A motor above this while cranking is taken for the starter. Common practice, no source."""

LOADED_A = 1e6
"""A wire to a load of unknown current counts as loaded beside others, whatever share of its ampacity that takes."""


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
    locked_ohm: Floats
    """Resistance of each starter with its rotor standing still [ohm]; 0 for all others."""
    heating: Floats
    """Effective over mean current of each; 1 for what is not switched many times a second."""
    lower: Floats
    """How far below its reference current each may be, as a share of it, 1 at most."""
    upper: Floats
    """How far above it each may be."""
    most_a: Floats
    """The upper bound of each current at its reference voltage [A]."""
    unstated: Flags
    """Loads whose current the plan does not state: their reference current is 0, and so is its upper bound; their
    circuit's stands in a consumer of the kind `UNSTATED`."""
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
    """(C, L) each: the same with the second, third … of each group on instead of the strongest; last, where a circuit
    may draw more than is stated, with nothing of that on, for it lowers the voltage and with it other currents."""
    inrush_given: Floats
    """Switch-on current as a multiple of the running one, as the plan gives it; NaN where it gives none."""
    inrush: Floats
    """The same with the usual multiple of its kind standing in."""
    inrush_s: Floats
    """Length of the surge, as given or usual [s]; 0 for what is no load."""
    inrush_assumed: Flags
    """Multiple or length is the usual one of its kind, not the plan's."""
    guessed: Flags
    """Loads whose current is a guess."""

    @cached_property
    def either(self) -> tuple[Ints, ...]:
        """Members of the `either` groups of one circuit, an array (groups, size) for each size there is."""
        grouped = np.flatnonzero(self.group >= 0)
        if not grouped.size:
            return ()
        return in_groups(self.circuit[grouped] * (int(self.group.max()) + 1) + self.group[grouped], grouped)

    @cached_property
    def laws(self) -> Laws:
        """How their currents follow the voltage."""
        return Laws.of(self.reference_v, self.exponent, self.locked_ohm)

    def laws_of(self, some: Ints) -> Laws:
        """The laws of some of them."""
        return Laws.of(self.reference_v[some], self.exponent[some], self.locked_ohm[some])

    @property
    def lamps(self) -> Ints:
        """Consumers whose current follows a power of the voltage other than 1, 0 and -1."""
        return self.laws.lamps

    @cached_property
    def is_lamp(self) -> Flags:
        """Which are `lamps` (L,)."""
        found = np.zeros(self.count, dtype=bool)
        found[self.laws.lamps] = True
        return found

    @property
    def constant_power(self) -> Ints:
        """Consumers of constant power."""
        return self.laws.constant_power

    @property
    def count(self) -> int:
        """Number of consumers."""
        return len(self.kind)

    @property
    def least_a(self) -> Floats:
        """The lower bound of each current at its reference voltage [A]."""
        return self.reference_a * (1.0 - self.lower)

    @property
    def loading_a(self) -> Floats:
        """Reference current of each as it counts for whether its wire is loaded [A]."""
        return np.where(self.unstated, LOADED_A, self.reference_a)


def in_groups(keys: Ints, members: Ints) -> tuple[Ints, ...]:
    """Members of each group of two or more that share a key, an array (groups, size) for each size there is."""
    if not keys.size:
        return ()
    by_key = members[np.argsort(keys, kind="stable")]
    _, first, size = np.unique(np.sort(keys), return_index=True, return_counts=True)
    return tuple(by_key[first[size == each][:, None] + np.arange(each)] for each in distinct(size[size > 1]).tolist())
