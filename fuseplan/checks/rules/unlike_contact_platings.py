"""Two mating connectors have contacts of unlike plating.

Tin against gold or silver frets and corrodes: the resistance rises with every vibration, on signals first.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.nets import mates_of
from fuseplan.plan.part_names import in_words


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    connectors, done = results.plan.connector, set()
    for name, mate in mates_of(results.plan).items():
        pair = frozenset((name, mate))
        if pair in done or mate not in connectors:
            continue
        done.add(pair)
        one, other = connectors[name].plating, connectors[mate].plating
        if one is not None and other is not None and one != other:
            yield rule.finding(
                results, ("connector", name), f"{one} contacts in {in_words(results.plan, 'connector', name)} meet "
                                              f"{other} contacts in {in_words(results.plan, 'connector', mate)}",
                fields=(f"connector.{name}.plating", f"connector.{mate}.plating"))


RULE = Rule(
    consequence="fails_in_use",
    title="Unlike contact platings",
    source="like platings together: connector makers' rule for tin and gold contacts (from memory)",
    caution="The fault comes and goes with vibration and is taken for a bad sensor.",
    fix="contacts of the same plating in both halves",
    example="fails: tin contacts into gold ones; passes: tin into tin",
    find=find,
)
