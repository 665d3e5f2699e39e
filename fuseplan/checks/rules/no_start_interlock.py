"""Nothing keeps the starter from turning with a gear engaged.

A switch that closes only in neutral or park, or with the clutch pressed, lies in the wire to the starter's solenoid. It
is easily lost when another engine or gearbox is fitted.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import starting
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for number in starting(results):
        interlock = results.network.circuits[number].interlock
        if interlock is not None and not set(interlock) - {"none"}:
            yield rule.finding(
                results, circuit_subject(results, number),
                "nothing keeps the starter from turning with a gear engaged, by what the plan states",
                fields=(circuit_path(results, number, "interlock"),))


RULE = Rule(
    consequence="good_practice",
    title="No start interlock",
    source="the engine starts only in park or neutral, or with the clutch pressed: inspection rules of two US states, "
           "COMAR 11.14.04.13 and Utah R714-160-14; whether your country asks for it in a car of this age, its own "
           "rules say",
    caution="Until there is one: handbrake on, gear out, nobody in front of the car when it is cranked.",
    fix="a neutral or clutch switch in the wire to the starter's solenoid, or in that of its relay's coil",
    example="fails: `interlock = [\"none\"]` on the solenoid's circuit; passes: `[\"clutch_switch\"]`",
    find=find,
)
