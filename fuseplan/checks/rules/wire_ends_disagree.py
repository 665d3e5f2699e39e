"""The two ends of a wire are entered as if they were two wires.

One of the entries is wrong: another other end, or another kind of signal.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.mating import disagreements


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for each in disagreements(results.plan):
        yield rule.finding(results, connector_subject(each.one), each.words,
                           fields=(pin_path(each.one, "other_end.pin"), pin_path(each.other, "other_end.pin")))


RULE = Rule(
    consequence="hides_a_fault",
    title="Ends of a wire disagree",
    source="common practice, no source",
    caution="A wire that is entered wrongly is joined wrongly.",
    fix="test continuity from end to end with both plugs off, then correct the entry that is wrong",
    example="fails: pin 1 goes to pin A, pin A to pin 2; passes: each names the other",
    find=find,
)
