"""A battery isolator does not cut everything.

One in an earth lead takes the battery's earth away from everything behind it, while every positive wire stays at
battery voltage. What is earthed on the battery side of it, or on another lead to the battery, goes on working: a
starter or an engine block with a strap of its own leaves the car as live as before. One in the supply leaves live what
is fed before it: a clock, an alarm or a bilge pump may be meant to, but whoever opens it must know. The same is
said of an alternator before it, which an isolator for parking need not part from the battery; one for a race must. One
that opens its field or the ignition stops it, and leaves its cable live all the same. A second battery joined behind
either of them goes on feeding the car while its relay is closed.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import keeping_it_running
from fuseplan.checks.isolators import (
    CABLE_ALONE,
    SECOND_CONTACTS,
    alternator_left,
    beyond,
    earth_isolators,
    earths_of,
    fed_before,
    fed_by_second_batteries,
    let_go_by,
    opens_ignition,
    supply_isolators,
)
from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.checks.subjects import owner_words
from fuseplan.engine.results import Results
from fuseplan.engine.second_batteries import joined_of
from fuseplan.quantities.listing import first_few

NAMED = 4
"""So many circuits are named."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    yield from _in_the_earth_lead(rule, results)
    yield from _in_the_supply(rule, results)
    yield from _second_batteries(rule, results)


def _second_batteries(rule: Rule, results: Results) -> Iterator[Finding]:
    if not joined_of(results.network):
        return
    running = _running(results)
    for still in fed_by_second_batteries(results.plan):
        worst = sorted(still.circuits, key=lambda name: name not in running)
        runs_on = running.intersection(worst) and not still.ignition_opened
        yield rule.finding(
            results, ("circuit", still.link),
            "with the battery isolator open the second battery still feeds these through this circuit, while the two "
            f"batteries are joined: {_named(results, worst)}",
            consequence="keeps_running" if runs_on else "fails_in_use", fields=(f"circuit.{still.link}.feed",),
            fix="join the second battery on the battery side of the isolator, or give it an isolator of its own, "
                "opened together with the first")


def _in_the_supply(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, isolators = results.plan, supply_isolators(results.plan)
    circuits = fed_before(plan, isolators) if isolators else []
    left = alternator_left(plan, isolators)
    if not circuits and not left:
        return
    running, starters = _running(results), _starters(results)
    consequence: Consequence = "good_practice"
    if starters.intersection(circuits):
        consequence = "fails_in_use"
    if any(not let_go_by(plan, each, isolators) for each in _running_on(results, circuits, supply=True)):
        consequence = "keeps_running"
    worst = sorted(circuits, key=lambda name: (name not in running, name not in starters))
    named = ", ".join(owner_words(results, ("circuit", name)) for name in worst)
    said = [f"these are still fed, from before it: {named}"] if worst else []
    fixes, fields = ["feed from behind the isolator what need not stay on"] if worst else [], [
        f"circuit.{name}.feed" for name in worst[:1]]
    if left:
        said.append(f"still on the battery: {left}")
        fix, field = ("join the alternator cable behind it", "alternator.feed") if left == CABLE_ALONE else (
            f"fit {SECOND_CONTACTS}", f"feed.{isolators[0]}.switch.also_opens")
        fixes.append(fix)
        fields.append(field)
    yield rule.finding(
        results, ("feed", isolators[0]), f"with the battery isolator open {'; '.join(said)}",
        consequence=consequence, fields=tuple(fields),
        fix=f"{'; '.join(fixes)}; put a label beside it that says what stays live")


def _in_the_earth_lead(rule: Rule, results: Results) -> Iterator[Finding]:
    isolators = earth_isolators(results.plan)
    if not isolators:
        return
    plan = results.plan
    engines = [name for name in beyond(plan, plan.earth) if plan.earth[name].engine]
    circuits = [name for name in plan.circuit if beyond(plan, earths_of(plan, name))]
    if not circuits and not engines:
        return
    running, starters = _running(results), _starters(results)
    consequence: Consequence = "good_practice"
    if engines or starters.intersection(circuits):
        consequence = "fails_in_use"
    if _running_on(results, circuits, supply=False):
        consequence = "keeps_running"
    worst = sorted(circuits, key=lambda name: (name not in running, name not in starters))
    named = ", ".join([*(f"the engine by earth point {owner_words(results, ('earth', each))}" for each in engines),
                       _named(results, worst)])
    moved = next((f"earth.{name}.to" for name in engines), f"circuit.{worst[0]}.earth" if worst else "")
    yield rule.finding(
        results, ("earth", isolators[0]),
        f"with the battery isolator open these still have an earth: {named}; every supply wire stays live too",
        consequence=consequence, fields=(moved,))


def _running(results: Results) -> set[str]:
    """Circuits that keep the engine running."""
    return {results.network.circuit_ids[number] for number in keeping_it_running(results)}


def _running_on(results: Results, circuits: list[str], supply: bool) -> set[str]:
    """Those of some circuits that go on running with an isolator in the supply, or else in an earth lead, open. Where
    it opens the ignition too, what the ignition feeds stops all the same, and a pump with the engine: one that does not
    is a danger by itself."""
    return set() if opens_ignition(results.plan, supply) else _running(results).intersection(circuits)


def _starters(results: Results) -> set[str]:
    return {results.network.circuit_ids[number] for number in results.network.marked.get("role starter", ())}


def _named(results: Results, circuits: list[str]) -> str:
    return first_few(circuits, NAMED, lambda each: owner_words(results, ("circuit", each)))


RULE = Rule(
    consequence="keeps_running",
    title="Isolator bypassed",
    source="a cut-off must cut battery, lights, ignition and controls: FIA Appendix J, article 253-13 (2016), "
           "second-hand; that an earth isolator needs every earth behind it: common practice, no source",
    caution="An exhaust, a cable or a bracket between engine and body is an earth too: with the isolator open, measure "
            "from body and engine to the battery's earthed post before you trust it.",
    fix="take the earth to the car's side of the isolator; only what may stay on, such as a clock or an alarm, is "
        "earthed at the battery post itself",
    example="fails: the isolator in the body strap, the engine strap on the battery post; passes: both straps behind "
            "the isolator",
    find=find,
)
