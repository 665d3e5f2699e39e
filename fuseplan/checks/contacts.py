"""Relay contacts against ambient and load; shared by the checks on circuits and feeds."""

from __future__ import annotations

import math
from collections.abc import Collection
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import usual_inrush
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS
from fuseplan.errors import TableError
from fuseplan.tables import relays as relay_tables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


class Contact(NamedTuple):
    """What a contact bears in one place. NaN where nothing is on file."""

    limit_a: float
    ambient_c: float
    is_printed: bool
    """The ambient lies within the printed columns; past them `limit_a` is the last printed figure, too high."""
    make_a: float
    lamp_a: float
    motor_a: float
    source: str


@lru_cache(maxsize=512)
def contact(name: str, ambient_c: float) -> Contact:
    """The printed figures of a contact type at an ambient."""
    try:
        printed = relay_tables.relay_contact(name)
        rating = relay_tables.contact_rating(name, ambient_c)
    except TableError:
        return Contact(math.nan, ambient_c, False, math.nan, math.nan, math.nan, "no published limits on file")
    hottest = [value for value in (printed.rated_125_a, printed.rated_85_a, printed.rated_23_a) if value is not None]
    limit = rating.value if rating is not None else hottest[0] if hottest else math.nan
    return Contact(limit, ambient_c, rating is not None, _or_nan(printed.make_a), _or_nan(printed.lamp_a),
                   _or_nan(printed.motor_a), printed.source.line())


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value


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
        if entry.contact == "NO" and printed.is_printed and contact_limit_a(printed, kinds) >= current_a \
                and (surge_a <= 0.0 or printed.make_a >= surge_a):
            found.append((printed.make_a if surge_a > 0.0 else contact_limit_a(printed, kinds), name))
    return min(found)[1] if found else None


def contact_limit_a(printed: Contact, kinds: Collection[str | None]) -> float:
    """What a contact carries of these kinds of load [A]; NaN where nothing is on file."""
    by_kind = [value for kind, value in (("lamp", printed.lamp_a), ("motor", printed.motor_a)) if kind in kinds]
    return float(np.fmin.reduce([printed.limit_a, *by_kind]))


def surges(results: Results, wanted: Flags) -> tuple[Floats, Flags]:
    """Switch-on current of the loads of each wanted circuit, all starting together (2, circuits) in A, and whether a
    usual multiple stands in for one the plan does not give. Of an `either` group the strongest surge counts."""
    consumers, numbers = results.network.consumers, results.load_consumers
    circuits, kinds = consumers.circuit[numbers], consumers.load_kind
    multiple = consumers.inrush_given[numbers]
    usual = np.array([usual_inrush(kinds[number])[0] if kinds[number] in SURGING else math.nan
                      for number in numbers.tolist()], dtype=float)
    taken = np.isnan(multiple) & ~np.isnan(usual) & wanted[circuits]
    multiple = np.nan_to_num(np.where(np.isnan(multiple), usual, multiple), nan=1.0)
    current = results.demands.load[:, FIVE_S, numbers] * multiple * wanted[circuits]
    group = consumers.group[numbers]
    count = len(results.network.circuits)
    surge = np.zeros((CORNERS, count))
    for corner in range(CORNERS):
        surge[corner] = np.bincount(circuits, weights=current[corner] * (group < 0), minlength=count)
    strongest: dict[tuple[int, int], Floats] = {}
    for place in np.flatnonzero(group >= 0).tolist():
        key = (int(circuits[place]), int(group[place]))
        strongest[key] = np.asarray(np.maximum(strongest.get(key, 0.0), current[:, place]))
    for (number, _), pair in strongest.items():
        surge[:, number] += pair
    assumed = np.zeros(count, dtype=bool)
    assumed[circuits[taken]] = True
    return surge, assumed
