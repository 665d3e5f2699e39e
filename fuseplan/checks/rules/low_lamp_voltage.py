"""A filament lamp gets less than its share of design voltage with the engine running.

Light falls with the 3.4th power of the voltage: at 85 % little more than half is left. The voltage at the bulb is
checked with the engine running, as in the published rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.drop_fixes import less_drop, own_segments
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged, under_limit
from fuseplan.checks.subjects import (
    circuit_path,
    circuit_subject,
    drop_known,
    load_of,
    load_path,
    load_words,
    segments_on,
    worst_by_circuit,
)
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS
from fuseplan.engine.states import STATE_INDEX
from fuseplan.formulas.load import lamp_light
from fuseplan.quantities import writing
from fuseplan.results.circuit import CircuitInCondition

Floats = NDArray[np.float64]


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, share = results.network, results.limit_set.drop.lamp_share
    consumers = network.consumers
    lamps = consumers.lamps[consumers.kind[consumers.lamps] == LOAD]
    if share is None or not lamps.size:
        return
    lamps = lamps[drop_known(results)[consumers.circuit[lamps]]]
    volts = np.full((CORNERS, consumers.count), np.nan)
    volts[:, lamps] = running_volts(results, lamps)
    design = np.full(consumers.count, np.nan)
    for index in lamps.tolist():
        load = load_of(results, index)
        design[index] = float(load.design_voltage or load.at or network.system_v)
    limit = share * design
    judged = under_limit(volts, limit, ~np.isnan(volts).all(axis=0))
    failing = worst_by_circuit(results, judged.fails, limit - volts)
    if not results.known.alternator_cable:
        on = np.unique(consumers.circuit[~np.isnan(volts).all(axis=0)])
        for number in on[~np.isin(on, list(failing))].tolist():
            yield rule.unjudged(circuit_subject(results, number), "resistance of the alternator's cable or strap, and "
                                "so the voltage at its lamps with the engine running")
    ahead = segments_on(results, returns=False)
    for number, (index, corner) in failing.items():
        at_bulb, least = float(volts[corner, index]), float(limit[index])
        fix, paths = _fix(results, index, corner, least - at_bulb, ahead)
        light = float(lamp_light(max(at_bulb, 0.0), float(design[index])))
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{MEASURE_WORDS if corner else ''}{writing.limit(at_bulb, 'V')} at {load_words(results, index)} with the "
            f"engine running; {writing.stated(share, 'share')} of its {writing.stated(design[index], 'V')} is "
            f"{writing.burden(least, 'V')}. Light output: {writing.limit(light, 'share')}",
            figure=at_bulb, figure_side="limit", limit=least, unit="V", measure=bool(corner),
            fix=fix, fields=(*paths, circuit_path(results, number, "relay.contact"),
                             load_path(results, index, "design_voltage")))


def _fix(results: Results, index: int, corner: int, short_v: float,
         on: Callable[[int], list[int]]) -> tuple[str, tuple[str, ...]]:
    """What brings a lamp `short_v` more, and the key it is about."""
    lost = float(results.drops.total_v[corner, index])
    if not short_v < lost:
        return "a higher charging voltage: the whole car is low", ("alternator.rated",)
    own = own_segments(results, index, on)
    return less_drop(results, own, index, corner, lost, lost - short_v)


def running_volts(results: Results, lamps: NDArray[np.int64]) -> Floats:
    """Lowest voltage across each lamp in any condition with the engine running in which it is on (2, lamps); NaN
    where it never is. A lamp that gives way to a stronger one of its `either` group in every condition is taken at the
    lowest running voltage of the battery post less its own worst drop."""
    network, solution = results.network, results.solution
    consumers, conditions = network.consumers, len(network.conditions)
    running = network.state == STATE_INDEX["running"]
    shape = (CORNERS, conditions, lamps.size)
    across = (solution.supply_v[:, consumers.supply_node[lamps]]
              - solution.return_v[:, consumers.return_node[lamps]]).reshape(shape)
    root = solution.root_v.reshape(CORNERS, conditions, 1)
    on = (consumers.on[:, lamps] & running[:, None])[None]
    possible = (consumers.possible[:, lamps] & running[:, None])[None]
    lowest = np.where(on, across, np.inf).min(axis=1, initial=np.inf)
    other = np.where(possible, root, np.inf).min(axis=1, initial=np.inf) - results.drops.total_v[:, lamps]
    lowest = np.where(np.isinf(lowest), other, lowest)
    return np.where(np.isfinite(lowest), lowest, np.nan)


RULE = Rule(
    level="warning",
    title="Low lamp voltage",
    source="at least 85 % of the bulb's design voltage at the socket, lamps lit and engine running: California 13 CCR "
           "1249(c)",
    caution="You see and are seen less with dim lamps; do not fit stronger bulbs to make up for a thin wire: the "
            "voltage drop gets worse.",
    fix="a relay near the lamp, a thicker wire, a better earth",
    example="fails: 110 W at the end of 12 m of 0.5 mm²; passes: 55 W on 3 m of 2.5 mm²",
    find=find,
    figures=((CircuitInCondition.load_v, None),),
    resistance=True,
)
