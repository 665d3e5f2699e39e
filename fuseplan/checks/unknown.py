"""Why a circuit's verdict is not known although nothing of its own is missing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.rule import Unjudged
from fuseplan.checks.subjects import condition_words, owner_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.solve import BOUNDS
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words

_WAYS = {"feed": "supply-side resistance up to feed", "earth": "resistance from earth point to battery"}


def unknown_words(results: Results, circuit: int, unjudged: tuple[Unjudged, ...], silent: tuple[str, ...]
                  ) -> tuple[str, ...]:
    """What is not known of what a circuit rests on, in words; empty where all is known.

    Args:
        circuit: number of the circuit
        unjudged: the checks that could not be made of it
        silent: what the set of limits has nothing on file for
    """
    return tuple(dict.fromkeys((*silent, *_ways(results, circuit), *(each.words for each in unjudged),
                                *_lost(results, circuit), *_unbounded(results, circuit))))


def _ways(results: Results, circuit: int) -> Iterator[str]:
    if results.known.circuit[circuit]:
        return
    for kind, name in results.known.lacking(circuit):
        yield f"{_WAYS[kind]} {owner_words(results, (kind, name))}" if kind in _WAYS else \
            "resistance of its own wire or fuse"


def _unbounded(results: Results, circuit: int) -> Iterator[str]:
    """Currents that nothing limits and that are on together with the circuit's: all share the battery."""
    network, consumers = results.network, results.network.consumers
    if not network.unbounded:
        return
    own = consumers.possible[:, _loads(results, circuit)].any(axis=1)
    for number in network.unbounded:
        name = consumers.owner[number][1]
        if name != network.circuit_ids[circuit] and (own & consumers.possible[:, number]).any():
            yield unbounded_words(results.plan, name)


def unbounded_words(plan: Plan, name: str) -> str:
    """That nothing says what a circuit draws."""
    return f"what {in_words(plan, 'circuit', name)} draws: not stated, and no fuse rating is entered that limits it"


def _lost(results: Results, circuit: int) -> Iterator[str]:
    if not results.lost.any():
        return
    for number in np.flatnonzero(results.lost.reshape(BOUNDS, -1).any(axis=0)).tolist():
        if results.network.consumers.possible[number, _loads(results, circuit)].any():
            where = condition_words(results, number)
            yield f"voltages and currents in {where}: the supply cannot carry its loads"


def _loads(results: Results, circuit: int) -> NDArray[np.bool_]:
    """Which consumers are loads of a circuit (L,)."""
    consumers = results.network.consumers
    return np.asarray((consumers.circuit == circuit) & (consumers.kind == LOAD))
