"""What is on must be able to run: battery, alternator and wires must bring it the power it asks for.

A load of constant power draws the more, the less voltage reaches it. Behind a long thin wire, or on a small battery,
there may be no voltage at which it gets its power, and in the car the voltage collapses. A wire of many times the
resistance of its load is not followed to the end either. No figure of such a condition is known. Most often a figure
of the plan is wrong: kW for W, or metres for feet.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule
from fuseplan.checks.subjects import circuit_path, condition_words, load_of, load_path, load_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    consumers = results.network.consumers
    lost = results.lost.reshape(CORNERS, -1)
    for number in np.flatnonzero(lost.any(axis=0)).tolist():
        upper = not lost[0, number]
        drawn = np.where(consumers.possible[number] & (consumers.kind == LOAD), consumers.reference_a, 0.0)
        largest = int(drawn.argmax())
        key = "power" if load_of(results, largest).power is not None else "current"
        yield rule.finding(
            results, ("plan", "plan"),
            f"{MEASURE_WORDS if upper else ''}{condition_words(results, number)}: no voltage was found at which "
            f"battery, alternator and wires feed all that is on, so nothing of it is known; the largest load is "
            f"{load_words(results, largest)}, {writing.burden(float(drawn[largest]), 'A')}", measure=upper,
            fields=(load_path(results, largest, key), circuit_path(results, int(consumers.circuit[largest]), "wire")))


RULE = Rule(
    level="danger",
    title="Insufficient supply",
    source="Kirchhoff's laws with the load's power held constant",
    caution="Currents that cannot be worked out cannot be judged: nothing of such a condition counts as safe.",
    fix="check power and voltage of the largest loads, their wires, and the battery's internal resistance",
    find=find,
    resistance=True,
)
