"""A part is made for a different system voltage from the car's.

A 12 V part on 24 V takes twice its current and four times its heat; a 24 V part on 12 V hardly works. What a part is
made for is read from the voltage its current is stated at, its design voltage, a locked starter's, the resistance of a
relay's coil, the regulator voltage or the alternator's label.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.other_voltage import OtherPart, other_parts
from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    system_v = results.network.system_v
    system = writing.stated(system_v, "V")
    for part in other_parts(results):
        consequence, words = _follows(part, system_v, results)
        yield rule.finding(
            results, part.subject,
            f"{part.words}, so it is a {writing.stated(part.other_v, 'V')} part; the car's system is {system}: {words}",
            consequence=consequence, fix=_fix(part, system), fields=(part.path,))


def _fix(part: OtherPart, system: str) -> str:
    if part.load is not None:
        return (f"fit a {system} part; if one is already fitted, enter its figures; if a converter supplies it, enter "
                f"the converter's input current at {system} instead")
    if part.subject[0] in ("alternator", "battery"):
        return f"fit a {system} {part.subject[1]}; if one is already fitted, enter its figures"
    return f"fit a relay with a {system} coil, or enter the coil's resistance as measured"


def _follows(part: OtherPart, system_v: float, results: Results) -> tuple[Consequence, str]:
    """What follows from a part for another system, and in words."""
    higher = part.other_v > system_v
    if part.subject[0] in ("alternator", "battery"):
        return ("burns", "it overcharges the battery and burns out lamps and electronics") if higher else \
            ("fails_in_use", "it does not charge, or does not start the car")
    if higher:
        return "fails_in_use", "it will hardly work"
    if part.load is not None and results.plan.circuit[part.subject[1]].role == "starter":
        return "damages_a_part", "it draws too much current and wears out early"
    return "burns", "it draws too much current and burns out"


RULE = Rule(
    consequence="burns",
    title="Wrong system voltage",
    source="a resistance takes current in proportion to the voltage: Ohm's law; parts of a system are stated at 75 to "
           "125 % of its nominal voltage: common practice, no source",
    caution="A bulb, relay or motor of half the system's voltage may work for a while, and then burn.",
    fix="a part for the car's own system voltage",
    example="fails: a lamp of 24 V in a 12 V car; passes: the same at 12 V",
    find=find,
)
