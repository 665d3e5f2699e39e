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
from fuseplan.engine.drops import Drops
from fuseplan.engine.network import Network
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS, Solved
from fuseplan.engine.states import STATE_INDEX
from fuseplan.formulas.load import lamp_light
from fuseplan.quantities import writing
from fuseplan.results.circuit import CircuitInCondition
from fuseplan.tables.distinct import distinct

Floats = NDArray[np.float64]


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, share = results.network, results.limit_set.drop.lamp_share
    consumers, lamps = network.consumers, judged_lamps(results)
    if share is None or not lamps.size:
        return
    volts = np.full((CORNERS, consumers.count), np.nan)
    volts[:, lamps] = running_volts(network, results.solution, results.drops, lamps)
    design = np.full(consumers.count, np.nan)
    design[lamps] = design_voltages(results, lamps)
    limit = share * design
    judged = under_limit(volts, limit, ~np.isnan(volts).all(axis=0))
    failing = worst_by_circuit(results, judged.fails, limit - volts)
    if not results.known.alternator_cable:
        on = distinct(consumers.circuit[~np.isnan(volts).all(axis=0)])
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


def judged_lamps(results: Results) -> NDArray[np.int64]:
    """The lamps whose voltage is known."""
    consumers = results.network.consumers
    lamps = consumers.lamps[consumers.kind[consumers.lamps] == LOAD]
    return np.asarray(lamps[drop_known(results)[consumers.circuit[lamps]]])


def design_voltages(results: Results, lamps: NDArray[np.int64]) -> Floats:
    """Voltage each lamp is made for (lamps,) [V]."""
    loads = [load_of(results, index) for index in lamps.tolist()]
    return np.array([float(load.design_voltage or load.at or results.network.system_v) for load in loads], dtype=float)


def running_volts(network: Network, solution: Solved, drops: Drops, lamps: NDArray[np.int64]) -> Floats:
    """Lowest voltage across each lamp in any condition with the engine running in which it is on (cases, lamps); NaN
    where it never is. A lamp that gives way to a stronger one of its `either` group in every condition is taken at the
    lowest running voltage of the battery post less its own worst drop."""
    consumers, cases = network.consumers, solution.cases
    running = (network.state == STATE_INDEX["running"])[:, None]
    across, root = cases.parted(solution.across(lamps)), cases.parted(solution.root_v)[..., None]
    lowest = np.where(consumers.on[:, lamps] & running, across, np.inf).min(axis=1, initial=np.inf)
    other = np.where(consumers.possible[:, lamps] & running, root, np.inf).min(axis=1, initial=np.inf) \
        - drops.total_v[:, lamps]
    lowest = np.where(np.isinf(lowest), other, lowest)
    return np.where(np.isfinite(lowest), lowest, np.nan)


RULE = Rule(
    consequence="fails_in_use",
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
