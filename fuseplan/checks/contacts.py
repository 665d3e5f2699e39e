"""Relay contacts against ambient and load; shared by the checks on circuits and feeds."""

from __future__ import annotations

import math
from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.load_figures import usual_inrush
from fuseplan.engine.relays import contact
from fuseplan.engine.results import Results
from fuseplan.engine.solve import BOUNDS
from fuseplan.tables import relays as relay_tables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


def larger_contact(current_a: float, ambient_c: float, kinds: Collection[str | None] = ()) -> str | None:
    """The smallest contact on file that carries a current at an ambient, by the figure printed for these kinds of load
    where there is one."""
    return _smallest(current_a, ambient_c, kinds, 0.0)


def stronger_contact(surge_a: float, current_a: float, ambient_c: float, kinds: Collection[str | None] = ()
                     ) -> str | None:
    """The smallest contact on file that may close on a surge and carries the current at an ambient; as above."""
    return _smallest(current_a, ambient_c, kinds, surge_a)


def _smallest(current_a: float, ambient_c: float, kinds: Collection[str | None], surge_a: float) -> str | None:
    found = []
    for name, entry in relay_tables.CONTACTS.items():
        printed = contact(name, ambient_c)
        if entry.contact == "NO" and printed.is_printed and printed.carries_a(kinds) >= current_a \
                and (surge_a <= 0.0 or printed.make_a >= surge_a):
            found.append((printed.make_a if surge_a > 0.0 else printed.carries_a(kinds), name))
    return min(found)[1] if found else None


def surges(results: Results, wanted: Flags, usual: bool = True) -> tuple[Floats, Flags]:
    """Switch-on current of the loads of each wanted circuit, all starting together (2, circuits) in A, and whether a
    usual multiple stands in for one the plan does not give. Of an `either` group the strongest surge counts."""
    consumers, numbers = results.network.consumers, results.load_consumers
    circuits, kinds = consumers.circuit[numbers], consumers.load_kind
    multiple = consumers.inrush_given[numbers]
    stands_in = np.array([usual_inrush(kinds[number])[0] if usual and kinds[number] in SURGING else math.nan
                      for number in numbers.tolist()], dtype=float)
    taken = np.isnan(multiple) & ~np.isnan(stands_in) & wanted[circuits]
    multiple = np.nan_to_num(np.where(np.isnan(multiple), stands_in, multiple), nan=1.0)
    current = results.demands.load[:, FIVE_S, numbers] * multiple * wanted[circuits]
    group = consumers.group[numbers]
    count = len(results.network.circuits)
    surge = np.zeros((BOUNDS, count))
    for bound in range(BOUNDS):
        surge[bound] = np.bincount(circuits, weights=current[bound] * (group < 0), minlength=count)
    strongest: dict[tuple[int, int], Floats] = {}
    for place in np.flatnonzero(group >= 0).tolist():
        key = (int(circuits[place]), int(group[place]))
        strongest[key] = np.asarray(np.maximum(strongest.get(key, 0.0), current[:, place]))
    for (number, _), pair in strongest.items():
        surge[:, number] += pair
    assumed = np.zeros(count, dtype=bool)
    assumed[circuits[taken]] = True
    return surge, assumed
