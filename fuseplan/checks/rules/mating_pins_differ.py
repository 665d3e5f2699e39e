"""The two halves of a connector do not match cavity by cavity.

What is live on one side must not meet an earth, a sensor or a data bus on the other. Two looms from different cars
never agree by themselves.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.mating import matings
from fuseplan.plan.part_names import in_words

_CONSEQUENCES: dict[str, Consequence] = {
    "danger": "burns", "differs": "fails_in_use", "one side only": "hides_a_fault"}
_OTHER_HALF = "look at both halves and correct the entry that is wrong, or fit two halves that are made for each other"
_ONE_SIDE = "enter the pin of the other half, or cut the wire off, insulate its end and enter that on both sides"


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for pair in matings(results.plan):
        both = " and ".join(in_words(results.plan, "connector", each) for each in (pair.left, pair.right))
        for words in pair.differences:
            yield rule.finding(results, ("connector", pair.left), f"{both}: {words}",
                               consequence="hides_a_fault", fix=_OTHER_HALF, fields=(f"connector.{pair.left}.mates",))
        for cavity in pair.cavities:
            consequence = _CONSEQUENCES.get(cavity.verdict)
            if consequence is not None:
                there = pair.left if cavity.left is not None else pair.right
                yield rule.finding(
                    results, ("connector", there),
                    f"cavity {cavity.number} of {both}: {cavity.words}", consequence=consequence,
                    fix=_ONE_SIDE if cavity.verdict == "one side only" else None,
                    fields=(f"connector.{there}.pin.{cavity.number}.function",))


RULE = Rule(
    consequence="burns",
    title="Mating pins differ",
    source="common practice, no source",
    caution="Do not plug the halves together before this is settled: one wrong cavity can destroy a control unit.",
    fix="move the contact to the right cavity, or correct the entry that is wrong after probing both halves",
    example="fails: permanent supply meets sensor return; passes: the same function on both sides",
    find=find,
)
