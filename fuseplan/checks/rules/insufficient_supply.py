"""Battery, alternator and wires cannot supply the power the loads ask for.

A constant-power load draws more current as its voltage falls. At the end of a long thin wire, or on a small battery,
there may be no voltage at which it gets its power, and in the car the voltage collapses. The same is reported for a
wire of many times the resistance of its load. Where that wire alone is the reason, it is named. No figure of such a
condition is known. Most often a figure of the plan is wrong: kW for W, or metres for feet.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.limit import NO_ROWS, LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, condition_words, load_of, load_path, load_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.solve import BOUNDS
from fuseplan.formulas.load import largest_power
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    consumers = results.network.consumers
    lost = results.lost.reshape(BOUNDS, -1)
    for number in np.flatnonzero(lost.any(axis=0)).tolist():
        upper = not lost[0, number]
        drawn = np.where(consumers.possible[number] & (consumers.kind == LOAD), consumers.reference_a, 0.0)
        words, fields = _largest(results, drawn)
        yield rule.finding(
            results, ("plan", "plan"),
            f"{condition_words(results, number)}: battery, alternator and wires cannot supply all loads at any "
            f"voltage, so no figure of it is known; {words}", bound=int(upper), fields=fields)
    yield from _wires(rule, results)


def _largest(results: Results, drawn: Floats) -> tuple[str, tuple[str, ...]]:
    """The load that draws most, and the keys to change; `drawn` is the current of each consumer (L,) [A]."""
    largest = int(drawn.argmax()) if drawn.size else -1
    if largest < 0 or not drawn[largest] > 0:
        return "the current of none of them is stated", ()
    key = "power" if load_of(results, largest).power is not None else "current"
    circuit = int(results.network.consumers.circuit[largest])
    return (f"the largest load is {load_words(results, largest)}, {writing.burden(float(drawn[largest]), 'A')}",
            (load_path(results, largest, key), circuit_path(results, circuit, "wire")))


def _wires(rule: Rule, results: Results) -> Iterator[Finding]:
    """Loads whose wires alone keep their power from them, whatever feeds the wires; and, where no voltage was found,
    those whose wires have more resistance than they."""
    way, highest = _ways(results)
    failed = set()
    for index, bound, power, most in through_wires(results).judged(results).failing:
        failed.add(index)
        yield _finding(rule, results, index, bound, f"no load gets more than {writing.limit(most, 'W')} through it, "
                       f"even from a source without resistance at {writing.burden(float(highest[index]), 'V')}; this "
                       f"load takes {writing.burden(power, 'W')}", float(way[index]), figure=power, limit=most,
                       unit="W")
    for index, _, way_ohm, own in beside_loads(results).judged(results).failing:
        if index not in failed:
            _, has = writing.against(way_ohm, own, "ohm")
            yield _finding(rule, results, index, 0, f"the load has {has} itself, so that less than half the voltage "
                           "reaches it", way_ohm, figure=way_ohm, limit=own, unit="ohm")


def _ways(results: Results) -> tuple[Floats, Floats]:
    """Least resistance of the wires to each consumer and back [ohm], and the highest voltage that feeds them [V], 0
    where nothing does (L,)."""
    network, source = results.network, results.source
    feeds = np.maximum(source.open_circuit_v, np.where(source.running, source.highest_v, 0.0))
    return (results.least_way_ohm,
            np.where(network.consumers.possible, feeds[:, None], 0.0).max(axis=0, initial=0.0))


def through_wires(results: Results) -> LimitRows:
    """The power of each load that holds it, against the most that gets through its wires."""
    consumers = results.network.consumers
    way, highest = _ways(results)
    loads = np.flatnonzero((consumers.kind == LOAD) & (highest > 0) & (consumers.exponent < 0))
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.asarray(largest_power(highest[loads], way[loads]))
    return rows_of(lambda: [circuit_subject(results, int(consumers.circuit[load])) for load in loads], loads, most,
                   lambda figures: figures.solution.cases.reference_a[:, loads] * consumers.reference_v[loads])


def beside_loads(results: Results) -> LimitRows:
    """The resistance of the wires to each load that is on where no voltage was found, against its own as entered."""
    consumers = results.network.consumers
    if not results.lost.any():
        return NO_ROWS
    way, highest = _ways(results)
    hidden = consumers.possible[results.lost.reshape(BOUNDS, -1).any(axis=0)].any(axis=0)
    loads = np.flatnonzero((consumers.kind == LOAD) & (highest > 0) & hidden)
    drawn = consumers.reference_a[loads]
    with np.errstate(divide="ignore", invalid="ignore"):
        own = np.where(drawn > 0, consumers.reference_v[loads] / drawn, np.inf)
    return rows_of(lambda: [circuit_subject(results, int(consumers.circuit[load])) for load in loads], loads, own,
                   lambda figures: np.tile(way[loads], (len(figures.demands.load), 1)))


def _finding(rule: Rule, results: Results, index: int, bound: int, words: str, way_ohm: float, *, figure: float,
             limit: float, unit: str) -> Finding:
    number = int(results.network.consumers.circuit[index])
    return rule.finding(
        results, circuit_subject(results, number),
        f"the wire to {load_words(results, index)} is far too thin or too long for this load: out and back it has "
        f"{writing.burden(way_ohm, 'ohm')}; {words}", figure=figure, limit=limit, unit=unit, bound=bound,
        fix="a thicker or shorter wire; check the load's power and the wire's length and size for a wrong unit",
        fields=(circuit_path(results, number, "wire.0.size"), circuit_path(results, number, "wire.0.length"),
                load_path(results, index, "power" if load_of(results, index).power is not None else "current")))


RULE = Rule(
    consequence="burns",
    title="Insufficient supply",
    source="Kirchhoff's laws with the load's power held constant; most power through a resistance: K. V. Cartwright, "
    "Non-calculus derivation of the maximum power transfer theorem, Technology Interface, spring 2008",
    caution="Currents that cannot be calculated cannot be checked: nothing in this condition counts as safe.",
    fix="check power and voltage of the largest loads, their wires, and the battery's internal resistance",
    example="fails: a 300 W electronic heater at the end of 20 m of 0.5 mm²; passes: 16 mm²",
    find=find,
    resistance=True,
    limits=(through_wires, beside_loads),
)
