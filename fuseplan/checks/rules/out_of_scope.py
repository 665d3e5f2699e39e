"""This circuit is not for this program, nor for the driveway.

Airbags and belt tensioners, anti-lock brakes, immobilisers, high voltage and the inside of the fuel tank: no
figures are given for them.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject
from fuseplan.engine.results import Results

WORDS = {
    "airbag": "airbag", "pretensioner": "belt tensioner", "abs": "anti-lock brake", "immobiliser": "immobiliser",
    "high_voltage": "high-voltage", "fuel_tank": "fuel-tank",
}


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for number in results.network.marked.get("out_of_scope", ()):
        circuit = results.network.circuits[number]
        if circuit.out_of_scope is not None:
            yield rule.finding(
                results, circuit_subject(results, number),
                f"{WORDS[circuit.out_of_scope]} circuit: stop here, no figures are given for it",
                fields=(circuit_path(results, number, "out_of_scope"),))


RULE = Rule(
    consequence="not_judged",
    title="Out of scope",
    source="car makers' restraint procedures forbid probing, splicing and extending; the rest common practice, no "
           "source",
    caution="Do not probe, splice, extend or re-use it. An airbag that fires in the hand, brakes that fail or high "
            "voltage can kill.",
    fix="follow the maker's procedure, with a qualified person",
    example="fails: a circuit marked `out_of_scope = \"airbag\"`; passes: a radio",
    find=find,
)
