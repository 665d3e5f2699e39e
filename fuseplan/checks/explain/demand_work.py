"""How a demand came about: from each load's current as entered to the current a branch is planned for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.explain.steps import entered, given, larger, solved
from fuseplan.engine.consumers import LOAD, UNSTATED, tolerances_of
from fuseplan.engine.demand import allowed_conditions
from fuseplan.engine.intervals import LONGER_THAN_S
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.engine.tree import Tree
from fuseplan.formulas.load import current_from_power, load_current
from fuseplan.formulas.power import upper_bound
from fuseplan.formulas.working import apply
from fuseplan.plan.words import TOLERANCE
from fuseplan.quantities import writing
from fuseplan.results.naming import consumer_words, load_path
from fuseplan.tables import loads as load_tables

Ints = NDArray[np.int64]

HALF = 0.5
"""A load's law is not followed below this share of the voltage its current was stated at."""


def reference(results: Results, consumer: int, corner: int = 0) -> tuple[float, float, float]:
    """(current as entered in A, voltage it is stated at in V, exponent) of a load, with the steps that give them."""
    network, consumers = results.network, results.network.consumers
    load = network.circuits[int(consumers.circuit[consumer])].load[int(consumers.number[consumer])]
    words, path = consumer_words(network, consumer), load_path(network, consumer)
    at_v = float(consumers.reference_v[consumer])
    if load.at is not None:
        entered("U₁", f"voltage the figure of {words} is stated at", at_v, "V", f"{path}.at")
    else:
        nominal = at_v == network.system_v
        given("U₁", f"voltage for {words}, none being given: the one that leaves the larger current, " + (
            "the system voltage" if nominal else
            f"the test voltage 13.5 V of a 12 V system, scaled to {writing.stated(network.system_v, 'V')}"), at_v, "V",
            "the plan, vehicle.system" if nominal else "SAE J56 (test voltage, from memory)")
    if load.current is not None or load.power is None:
        current = entered("I₁", f"current of {words}", float(consumers.reference_a[consumer]), "A", f"{path}.current")
    else:
        power = entered("P", f"power of {words}", float(load.power), "W", f"{path}.power")
        current = float(apply(current_from_power, power_w=power, voltage_v=at_v))
    if corner:
        evidence = load.evidence or "guess"
        own = evidence in network.plan.tolerance
        tolerance = given("τ", f"how far a {evidence} current may be off", tolerances_of(network.plan)[evidence], "-",
                          "the plan, tolerance" if own else "common practice, no source (tolerance "
                                                            f"{writing.stated(TOLERANCE[evidence])})")
        current = float(apply(upper_bound, value=current, tolerance=tolerance))
        if load.range is not None and evidence != "measured":
            end = entered("I₁", f"upper end of the range of {words}", float(load.range[1]), "A", f"{path}.range")
            current = larger("I₁", f"worst case of {words}: its tolerance or its range, whichever reaches further",
                             [current, end], "A")
    kind = consumers.load_kind[consumer]
    article = "an" if kind[0] in "aeiou" else "a"
    exponent = given("n", f"how the current of {article} {kind} load follows the voltage",
                     float(consumers.exponent[consumer]), "-", load_tables.exponent(kind).source.line())
    return current, at_v, exponent


HELD_WORDS = "an alternator whose output is not given taken as holding its regulator voltage"


def _choice_words(results: Results, choice: int) -> str:
    """Which loads of the `either` groups a solution has on, where there are any."""
    if choice == len(results.choices):
        return HELD_WORDS
    if not results.network.consumers.instead:
        return "all that is on together"
    if choice == 0:
        return "all that is on together, of each group the strongest"
    if choice == len(results.choices) - 1 and (results.network.consumers.kind == UNSTATED).any():
        return "all that is on together, what the plan states alone"
    return "all that is on together, of some group another than the strongest"


def _corner_words(corner: int) -> str:
    return ", worst case" if corner else ""


def worst_voltage(results: Results, consumer: int, interval: int, corner: int) -> float:
    """The voltage a load's demand is taken at, and the solution it was found in."""
    network, count = results.network, len(results.network.conditions)
    falling = int(consumer) in network.consumers.constant_power
    solutions = [(each, _choice_words(results, choice)) for choice, each in enumerate(results.choices)]
    for_each = [network.consumers.on, *network.consumers.instead]
    if not falling:
        solutions.append((results.balance.average, "the average demand, each load by its share of the time"))
        if results.held is not None:
            solutions.append((results.held, HELD_WORDS))
    conditions = np.flatnonzero(allowed_conditions(network)[interval, :, consumer]).tolist()
    found: list[tuple[float, str, Solution]] = []
    for choice, (solution, words) in enumerate(solutions):
        for condition in conditions:
            if falling and choice and not for_each[choice][condition, consumer]:
                continue
            for end in range(corner + 1):
                row = end * count + condition
                value = float(solution.across_v[row, consumer] if falling else solution.root_v[row])
                found.append((value, f"in '{network.condition_ids[condition]}', under {words}{_corner_words(end)}",
                              solution))
    value, where, solution = min(found, key=_first) if falling else max(found, key=_first)
    shortest = LONGER_THAN_S[interval]
    lasting = f" that last more than {writing.stated(shortest, 's')}" if shortest else ""
    what = "lowest voltage across it" if falling else "highest voltage of the battery post"
    return solved("U", f"{what} in the conditions it may be on in{lasting}: {where}", value, "V", solution)


def _first(found: tuple[float, str, Solution]) -> float:
    return found[0]


def load_demand(results: Results, consumer: int, interval: int, corner: int = 0) -> float:
    """Current of one load at the voltage that is worst for it."""
    consumers = results.network.consumers
    current, at_v, exponent = reference(results, consumer, corner)
    voltage = worst_voltage(results, consumer, interval, corner)
    if voltage < HALF * at_v:
        voltage = given("U", "not followed below half the voltage it is stated at", HALF * at_v, "V",
                        "common practice, no source")
    if int(consumers.kind[consumer]) != LOAD:
        return 0.0
    return float(apply(load_current, reference_current_a=current, voltage_v=voltage, reference_voltage_v=at_v,
                       exponent=exponent))


def behind(tree: Tree, node: int) -> list[int]:
    """Numbers of the consumers behind a node."""
    return [int(number) for number in tree.order[int(tree.start[node]):int(tree.end[node])]]
