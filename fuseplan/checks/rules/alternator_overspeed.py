"""The pulley must not turn the alternator's rotor faster than it may go.

A small pulley helps at idle and is turned by the same crankshaft at the red line. A rotor that goes too fast throws its
windings or bursts.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.alternator import highest_rotor_rpm
from fuseplan.engine.results import Results
from fuseplan.engine.source import HIGHEST_PULLEY_RATIO
from fuseplan.formulas.alternator import engine_speed, rotor_speed
from fuseplan.quantities import writing


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
    if rotor <= limit:
        return
    said = "its limit as entered" if own else f"the limit of an older machine, its own is {words}"
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"at {writing.burden(fastest, 'r/min')} of the engine a ratio of {writing.stated(ratio)}"
        f"{'' if given else ' (assumed: none is given)'} turns the rotor at "
        f"{writing.burden(rotor, 'r/min')}; {said}: "
        f"{writing.limit(limit, 'r/min')}", figure=rotor, limit=limit, unit="r/min",
        level=None if own and given else "advice",
        fix=f"a ratio of {writing.limit(limit / fastest, 'factor')} or less, or stay below "
               f"{writing.limit(engine_speed(limit, ratio), 'r/min')} of the engine; enter `max_speed` from the "
               f"machine's data",
        fields=("alternator.pulley_ratio", "alternator.max_speed"))


RULE = Rule(
    level="danger",
    title="Alternator overspeed",
    source="highest rotor speed by the machine's own data; where it is not entered, 12,000 r/min, the lowest printed: "
           "a car maker's workshop manual of the 1970s",
    caution="A bursting rotor throws metal through the engine bay. Never try a ratio out by running the engine up.",
    fix="a larger pulley on the alternator",
    find=find,
)
