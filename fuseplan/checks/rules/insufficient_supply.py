"""Battery, alternator and wires cannot supply the power the loads ask for.

A constant-power load draws more current as its voltage falls. At the end of a long thin wire, or on a small battery,
there may be no voltage at which it gets its power, and in the car the voltage collapses. The same is reported for a
wire of many times the resistance of its load. Where that wire alone is the reason, it is named. No figure of such a
condition is known. Most often a figure of the plan is wrong: kW for W, or metres for feet.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.limit import Flags, Floats, over_limit
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, condition_words, load_of, load_path, load_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.fault import least_way_ohm
from fuseplan.engine.network import printed_fuse_resistance
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
            f"{MEASURE_WORDS if upper else ''}{condition_words(results, number)}: battery, alternator and "
            f"wires cannot supply all loads at any voltage, so no figure of it is known; {words}", measure=upper,
            fields=fields)
    yield from _wires(rule, results, lost)


def _largest(results: Results, drawn: Floats) -> tuple[str, tuple[str, ...]]:
    """The load that draws most, and the keys to change; `drawn` is the current of each consumer (L,) [A]."""
    largest = int(drawn.argmax()) if drawn.size else -1
    if largest < 0 or not drawn[largest] > 0:
        return "the current of none of them is stated", ()
    key = "power" if load_of(results, largest).power is not None else "current"
    circuit = int(results.network.consumers.circuit[largest])
    return (f"the largest load is {load_words(results, largest)}, {writing.burden(float(drawn[largest]), 'A')}",
            (load_path(results, largest, key), circuit_path(results, circuit, "wire")))


def _wires(rule: Rule, results: Results, lost: Flags) -> Iterator[Finding]:
    """Loads whose wires alone keep their power from them, whatever feeds the wires; and, where no voltage was found,
    those whose wires have more resistance than they."""
    network, consumers, source = results.network, results.network.consumers, results.source
    way = least_way_ohm(network, results.devices.cold_ohm(printed_fuse_resistance))
    feeds = np.maximum(source.open_circuit_v, np.where(source.running, source.highest_v, 0.0))
    highest = np.where(consumers.possible, feeds[:, None], 0.0).max(axis=0, initial=0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.asarray(largest_power(highest, way))
    asked = np.stack([consumers.reference_a, consumers.most_a]) * consumers.reference_v
    loads = (consumers.kind == LOAD) & (highest > 0)
    judged = over_limit(asked, most, loads & (consumers.exponent < 0))
    for index, bound in judged.fails:
        yield _finding(rule, results, index, bound, f"no load gets more than "
                       f"{writing.limit(float(most[index]), 'W')} through it, even from a source without resistance at "
                       f"{writing.burden(float(highest[index]), 'V')}; "
                       f"this load takes "
                       f"{writing.burden(float(asked[bound, index]), 'W')}", float(way[index]),
                       figure=float(asked[bound, index]), limit=float(most[index]), unit="W")
    failed = {index for index, _ in judged.fails}
    with np.errstate(divide="ignore", invalid="ignore"):
        own = np.where(consumers.reference_a > 0, consumers.reference_v / consumers.reference_a, np.inf)
    hidden = consumers.possible[lost.any(axis=0)].any(axis=0)
    for index in np.flatnonzero(loads & hidden & (way > own)).tolist():
        if index not in failed:
            _, has = writing.against(float(way[index]), float(own[index]), "ohm")
            yield _finding(rule, results, index, 0, f"the load has {has} itself, so that less than half the voltage "
                           "reaches it", float(way[index]), figure=float(way[index]), limit=float(own[index]),
                           unit="ohm")


def _finding(rule: Rule, results: Results, index: int, bound: int, words: str, way_ohm: float, *, figure: float,
             limit: float, unit: str) -> Finding:
    number = int(results.network.consumers.circuit[index])
    return rule.finding(
        results, circuit_subject(results, number),
        f"{MEASURE_WORDS if bound else ''}the wire to {load_words(results, index)} is far too thin or too long for "
        f"this load: out and back it has {writing.burden(way_ohm, 'ohm')}; {words}",
        figure=figure, limit=limit, unit=unit, measure=bool(bound),
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
)
