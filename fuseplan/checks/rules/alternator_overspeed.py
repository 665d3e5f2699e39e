"""The pulley turns the alternator's rotor faster than its maximum speed.

A small pulley helps at idle and is turned by the same crankshaft at the red line. A rotor that turns too fast throws
its windings or bursts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.alternator import highest_rotor_rpm
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.engine.source import HIGHEST_PULLEY_RATIO
from fuseplan.formulas.alternator import engine_speed, rotor_speed
from fuseplan.quantities import writing
from fuseplan.results.charging import AlternatorResult
from fuseplan.results.condition import ConditionResult


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    alternator = results.plan.alternator
    if alternator is None:
        return
    given = alternator.pulley_ratio is not None
    ratio = alternator.pulley_ratio or HIGHEST_PULLEY_RATIO
    fastest = max((float(condition.engine) for condition in results.network.conditions), default=0.0)
    if results.plan.vehicle.highest_engine_speed is not None:
        fastest = max(fastest, float(results.plan.vehicle.highest_engine_speed))
    limit, own, words = highest_rotor_rpm(alternator)
    rotor = float(rotor_speed(fastest, ratio))
    if math.isnan(limit):
        yield rule.finding(
            results, ("alternator", "alternator"),
            f"the dynamo turns at {writing.burden(rotor, 'r/min')} at an engine speed of "
            f"{writing.burden(fastest, 'r/min')}{'' if given else ' (pulley ratio assumed: none is given)'}; its "
            "highest speed is not given, and none of a dynamo is on file", figure=rotor, unit="r/min",
            consequence="not_judged", fields=("alternator.max_speed",),
            fix="enter `max_speed` from the dynamo's data sheet; fit no smaller pulley until then")
    if not exceeds(rotor, limit):
        return
    said = "the limit entered" if own else f"the limit of an older alternator, its own is {words}"
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"at an engine speed of {writing.burden(fastest, 'r/min')} a pulley ratio of {writing.stated(ratio)}"
        f"{'' if given else ' (assumed: none is given)'} turns the rotor at "
        f"{writing.burden(rotor, 'r/min')}; {said}: "
        f"{writing.limit(limit, 'r/min')}", figure=rotor, limit=limit, unit="r/min",
        consequence=None if own and given else "not_judged",
        fix=f"a pulley ratio of {writing.limit(limit / fastest, 'factor')} or less, or stay below "
               f"{writing.limit(engine_speed(limit, ratio), 'r/min')} of the engine; enter `max_speed` from the "
               "alternator's data sheet",
        fields=("alternator.pulley_ratio", "alternator.max_speed"))


RULE = Rule(
    consequence="injures",
    title="Alternator overspeed",
    source="maximum rotor speed by the alternator's own data; where it is not entered, 12,000 r/min, the lowest "
           "printed: "
           "a car maker's workshop manual of the 1970s; of a dynamo none is on file",
    caution="A bursting rotor throws metal through the engine bay. Never test a pulley ratio by revving the engine.",
    fix="a larger pulley on the alternator",
    example="fails: 7000 r/min of the engine, pulley ratio 2.4, maximum rotor speed 12,000 r/min; passes: 4900 r/min",
    find=find,
    figures=((ConditionResult.rotor_rpm, AlternatorResult.highest_rotor_rpm),),
)
