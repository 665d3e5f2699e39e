"""What the limits prints no limit for cannot be called safe.

Published tables end somewhere: at a size, at an insulation class, at an ambient. Past their end nothing is guessed. The
circuit's verdict is unknown, no fuse is proposed for it, and another set of limits may have a row for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fuseplan.checks.rule import Finding, Rule, SubjectKind
from fuseplan.checks.subjects import owner_path
from fuseplan.checks.unlisted import unlisted
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for (kind, name), words in unlisted(results).items():
        circuit = results.plan.circuit.get(name) if kind == "circuit" else None
        if circuit is not None and circuit.out_of_scope is not None:
            continue
        yield rule.finding(results, (cast(SubjectKind, kind), name or kind),
                           f"limits {results.limit_set.name} has nothing on file: {'; '.join(words)}",
                           source=f"limits {results.limit_set.name}: {results.limit_set.words}",
                           fields=(owner_path((kind, name)),))


RULE = Rule(
    level="advice",
    title="No published limit",
    source="published tables are not carried past their end",
    caution="No limit on file does not mean no limit: a wire nobody has rated can still burn.",
    fix="a size and insulation the limits prints, or another set of limits: fuseplan compare-limits shows them all",
    find=find,
)
