"""Relay contacts against ambient and load; shared by the checks on circuits and feeds."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import LOAD
from fuseplan.engine.demand import FIVE_S
from fuseplan.engine.results import Results
from fuseplan.errors import TableError
from fuseplan.tables import loads as load_tables
from fuseplan.tables import relays as relay_tables

Floats = NDArray[np.float64]

SURGING = ("lamp", "motor")
"""Kinds whose switch-on surge is judged at its usual multiple where the plan gives none."""


class Contact(NamedTuple):
    """What a contact bears in one place. NaN where nothing is on file."""

    limit_a: float
    ambient_c: float
    is_printed: bool
    """The ambient lies within the printed columns; past them `limit_a` is the last printed figure, which is too high."""
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


def larger_contact(current_a: float, ambient_c: float) -> str | None:
    """The smallest contact on file that carries a current at an ambient."""
    found = [(rating.value, name) for name, entry in relay_tables.CONTACTS.items()
             if entry.contact == "NO" and (rating := relay_tables.contact_rating(name, ambient_c)) is not None
             and rating.value >= current_a]
    return min(found)[1] if found else None


@lru_cache(maxsize=16)
def usual_surge(kind: str) -> float:
    """Switch-on multiple of a kind of load where the plan gives none. Common practice, no source."""
    return load_tables.default_inrush(kind).value[0]


def surges(results: Results, wanted: list[bool]) -> tuple[Floats, list[bool]]:
    """Switch-on current of the loads of each wanted circuit, all starting together (2, circuits) in A, and whether a
    usual multiple stands in for one the plan does not give."""
    network = results.network
    consumers = network.consumers
    surge = np.zeros((2, len(network.circuits)))
    best: dict[tuple[int, int], list[float]] = {}
    assumed = [False] * len(network.circuits)
    for index in np.flatnonzero(consumers.kind == LOAD).tolist():
        number = int(consumers.circuit[index])
        if not wanted[number]:
            continue
        multiple = network.circuits[number].load[int(consumers.number[index])].inrush
        if multiple is None:
            multiple = 1.0
            if consumers.load_kind[index] in SURGING:
                multiple, assumed[number] = usual_surge(consumers.load_kind[index]), True
        current = results.demands.load[:, FIVE_S, index] * multiple
        group = int(consumers.group[index])
        if group < 0:
            surge[:, number] += current
            continue
        held = best.setdefault((number, group), [0.0, 0.0])
        best[number, group] = [max(held[0], float(current[0])), max(held[1], float(current[1]))]
    for (number, _), pair in best.items():
        surge[:, number] += pair
    return surge, assumed
