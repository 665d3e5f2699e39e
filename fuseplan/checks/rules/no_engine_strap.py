"""The engine has no strap of its own to the body or the battery.

The engine stands on rubber mounts. Without a strap the starter current returns through the throttle cable, the clutch
cable or the fuel pipe, which smoke, seize or melt.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject
from fuseplan.engine.consumers import STARTER_A
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words, to_enter


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan = results.plan
    users = list(_users(results))
    if not users or not plan.earth:
        return
    marked = [name for name, earth in plan.earth.items() if earth.engine]
    if not marked:
        subject, words, on = users[0]
        fix = "add an earth point with `engine = true` and the strap that leads from it, and earth the starter and " \
              "the alternator on it"
        fields: tuple[str, ...] = ("earth",)
        if on is not None and on in plan.earth and plan.earth[on].wire:
            fix = f"if {to_enter(plan, 'earth', [on])} is on the engine, mark it with `engine = true`; else {fix}"
            fields = (f"earth.{on}.engine", *fields)
        yield rule.finding(
            results, subject, f"{words} is on the engine, but no earth point is marked `engine = true`", fix=fix,
            fields=fields)
        return
    reported: set[str] = set()
    for subject, words, earth in users:
        if earth is None or earth not in plan.earth:
            continue
        if not plan.earth[earth].engine:
            path = f"circuit.{subject[1]}.earth" if subject[0] == "circuit" else "alternator.earth"
            yield rule.finding(results, subject, f"{words} is earthed on {in_words(plan, 'earth', earth)}, which is "
                                                 "not marked `engine = true`",
                               fix=f"earth it on {to_enter(plan, 'earth', marked[:1])}, or mark "
                                   f"{in_words(plan, 'earth', earth)} with `engine = true`",
                               consequence="hides_a_fault", fields=(path, f"earth.{earth}.engine"))
            continue
        last = _last_on_engine(plan, earth)
        if last not in reported and plan.earth[last].upstream is not None and not plan.earth[last].wire:
            reported.add(last)
            yield rule.finding(
                results, ("earth", last), f"{words} is earthed through {in_words(plan, 'earth', last)}, which has no "
                                          "strap to the body or the battery",
                fields=(f"earth.{last}.wire.0.size", f"earth.{last}.wire"))


def _users(results: Results) -> Iterator[tuple[Subject, str, str | None]]:
    """Starters and the alternator: subject, words, and the earth point they return to."""
    network, plan = results.network, results.plan
    named = set(network.marked.get("role starter", ()))
    large = (results.demands.circuit[0, FIVE_S] > STARTER_A).nonzero()[0].tolist()
    for number in sorted(named.union(large)):
        circuit, name = network.circuits[number], network.circuit_ids[number]
        earths = [load.earth or circuit.earth for load in circuit.load
                  if number in named or (load.kind == "motor" and load.use == "momentary" and "crank" in load.when)]
        if earths or number in named:
            yield ("circuit", name), f"the starter motor of {in_words(plan, 'circuit', name)}", \
                earths[0] if earths else circuit.earth
    if plan.alternator is not None:
        root = next((name for name, earth in plan.earth.items() if earth.upstream is None), None)
        yield ("alternator", "alternator"), "the alternator", plan.alternator.earth or root


def _last_on_engine(plan: Plan, name: str) -> str:
    """The last point on the engine on the way from one to the battery."""
    for _ in range(len(plan.earth)):
        upstream = plan.earth[name].upstream
        if upstream is None or upstream not in plan.earth or not plan.earth[upstream].engine:
            break
        name = upstream
    return name


RULE = Rule(
    consequence="burns",
    title="No engine strap",
    source="common practice, no source",
    caution="Without the strap the starter's current burns through control cables and fuel pipes. Fit it before the "
            "first crank.",
    fix="a strap from the engine to the body or the battery, of the size of the battery's earth cable",
    example="fails: a starter earthed on a gearbox without a strap; passes: an engine earth with a strap",
    find=find,
)
