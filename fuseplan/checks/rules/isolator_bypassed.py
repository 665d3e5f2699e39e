"""A battery isolator in an earth lead does not cut what has an earth beyond it.

It takes the battery's earth away from everything behind it, while every positive wire stays at battery voltage. What is
earthed on the battery side of it, or on another lead to the battery, goes on working: a starter or an engine block with
a strap of its own leaves the car as live as before.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import keeping_it_running
from fuseplan.checks.isolators import beyond, earth_isolators
from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.engine.results import Results

NAMED = 4
"""So many circuits are named."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    isolators = earth_isolators(results.plan)
    if not isolators:
        return
    plan, network = results.plan, results.network
    engines = [name for name in beyond(plan, plan.earth) if plan.earth[name].engine]
    circuits = [name for name in plan.circuit if beyond(plan, _earths(results, name))]
    if not circuits and not engines:
        return
    running = {network.circuit_ids[number] for number in keeping_it_running(results)}
    starters = {network.circuit_ids[number] for number in network.marked.get("role starter", ())}
    consequence: Consequence = "good_practice"
    if engines or starters.intersection(circuits):
        consequence = "fails_in_use"
    if running.intersection(circuits):
        consequence = "keeps_running"
    worst = sorted(circuits, key=lambda name: (name not in running, name not in starters))
    named = ", ".join([*(f"the engine by earth point {each}" for each in engines), *worst[:NAMED]])
    more = f" and {len(worst) - NAMED} more" if len(worst) > NAMED else ""
    moved = next((f"earth.{name}.to" for name in engines), f"circuit.{worst[0]}.earth" if worst else "")
    yield rule.finding(
        results, ("earth", isolators[0]),
        f"with the battery isolator open these still have an earth: {named}{more}; every positive wire stays live too",
        consequence=consequence, fields=(moved,))


def _earths(results: Results, name: str) -> list[str]:
    """The earth points a circuit returns to, as far as they are stated."""
    circuit = results.plan.circuit[name]
    found = {load.earth or circuit.earth for load in circuit.load if load.to_feed is None} or {circuit.earth}
    return [each for each in found if each is not None and each in results.plan.earth]


RULE = Rule(
    consequence="keeps_running",
    title="Isolator bypassed",
    source="a cut-off must cut battery, lights, ignition and controls: FIA Appendix J, article 253-13 (2016), "
           "second-hand; that an earth isolator needs every earth behind it: common practice, no source",
    caution="An exhaust, a cable or a bracket between engine and body is an earth too: with the isolator open, measure "
            "from body and engine to the battery's negative post before you trust it.",
    fix="take the earth to the car's side of the isolator; only what may stay on, such as a clock or an alarm, is "
        "earthed at the battery post itself",
    example="fails: the isolator in the body strap, the engine strap on the battery post; passes: both straps behind "
            "the isolator",
    find=find,
)
