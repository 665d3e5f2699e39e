"""The set of limits has no published limit for a size, an insulation or a temperature in the plan.

Published tables end at a size, an insulation class or an ambient temperature. Nothing is guessed beyond. The circuit's
verdict is unknown and no fuse is proposed; another set of limits may list it.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import owner_path, owner_subject
from fuseplan.checks.unlisted import unlisted
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for (kind, name), words in unlisted(results).items():
        circuit = results.plan.circuit.get(name) if kind == "circuit" else None
        if circuit is not None and circuit.out_of_scope is not None:
            continue
        yield rule.finding(results, owner_subject((kind, name)),
                           f"no published limit in the set {results.limit_set.name}: {'; '.join(words)}",
                           source=f"limits {results.limit_set.name}: {results.limit_set.words}",
                           fields=(owner_path((kind, name)),))


RULE = Rule(
    consequence="not_judged",
    title="No published limit",
    source="published tables are not extrapolated",
    caution="No limit on file does not mean no limit: a wire nobody has rated can still burn.",
    fix="a size and insulation that the set lists, or another set of limits: `fuseplan compare-limits` shows them all",
    example="fails: 0.34 mm², which the table does not list; passes: 1 mm²",
    find=find,
)
