"""The charge lamp passes too little current to excite the alternator.

An LED in its place looks the same and passes almost no current: the alternator then charges only after the engine is
revved, or not at all.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.charging import ExciterResult


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    lead = results.power.alternator_cable
    exciter = None if lead is None else lead.exciter
    if exciter is None or not falls_short(exciter.current_a, exciter.wanted.value):
        return
    yield rule.finding(
        results, ("circuit", exciter.circuit),
        f"the exciter current is {writing.limit(exciter.current_a, 'A')}; the smallest published one is "
        f"{writing.burden(exciter.wanted.value, 'A')}",
        figure=exciter.current_a, figure_side="limit", limit=exciter.wanted.value, unit="A",
        source=exciter.wanted.source.line(), fields=(f"circuit.{exciter.circuit}.load.0.current",))


RULE = Rule(
    consequence="good_practice",
    title="Exciter current too low",
    source="80 mA through 150 ohm, 120 mA through the lamp as fitted: a build diary",
    caution="An alternator that does not charge shows only by its lamp: check that it goes out after each start.",
    fix="a filament lamp of 2.2 W, or a resistor of 150 ohm and 3 W beside the LED",
    example="fails: an LED of 20 mA; passes: a 2.2 W bulb",
    find=find,
    figures=((ExciterResult.current_a, ExciterResult.wanted_a),),
    resistance=True,
)
