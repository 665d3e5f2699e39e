"""The plan names no earth point for a load.

Current without a planned return path finds one: through another lamp, a cable sheath, a bearing. Many faults in old
cars are bad earths.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject
from fuseplan.engine.missing import Lack
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import to_enter


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    lacking = [network.circuit_number[name] for name, missing in network.missing.items()
               if any(each.lack is Lack.EARTH for each in missing)]
    for number in sorted(lacking):
        circuit, known = network.circuits[number], results.plan.earth
        unknown = sorted({earth for earth in (circuit.earth, *(load.earth for load in circuit.load))
                          if earth is not None and earth not in known})
        message = "the plan names no earth point for it"
        if unknown:
            message = f"its earth point {unknown[0]} is not in the plan"
        yield rule.finding(
            results, circuit_subject(results, number), message,
            fix=f"name {to_enter(results.plan, 'earth', list(known)[:6])}, or add a point" if known else
            "add an earth point and name it",
            fields=(circuit_path(results, number, "earth"),))


RULE = Rule(
    consequence="burns",
    title="No earth",
    source="each circuit ends on a named point: common practice, no source",
    caution="Without an earth the current returns through control cables, bearings and fuel pipes. No earth screw near "
            "fuel or vapour parts.",
    fix="an earth point",
    example="fails: a horn without `earth`; passes: `earth = \"body\"`",
    find=find,
    lack=True,
)
