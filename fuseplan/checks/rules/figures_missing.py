"""The plan leaves out a figure, so the checks that need it could not be made.

A figure that is left out is not guessed: whatever depends on it has no verdict.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_path, owner_subject
from fuseplan.checks.unknown import unbounded_words
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.missing import Lack
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ladder
from fuseplan.tables.fuses import kind_words

CHECKED_ELSEWHERE = (Lack.FUSE, Lack.EARTH)
"""Lacks that have a check of their own."""


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, plan = results.network, results.plan
    for name, lacking in network.missing.items():
        here = [each for each in lacking if each.lack not in CHECKED_ELSEWHERE]
        words = [each.words for each in here]
        if words and name in plan.circuit and plan.circuit[name].out_of_scope is None:
            on_none = any(each.lack is Lack.FEED for each in lacking) and plan.circuit[name].load
            yield rule.finding(results, ("circuit", name), f"not checked until entered: {', '.join(words)}"
                               f"{'; what it draws counts at the battery and on no feed' if on_none else ''}",
                               # What rests on a missing current is grouped by that key and keeps its own cause.
                               fields=(f"circuit.{name}", *(f"circuit.{name}.{each.key}" for each in here)))
    yield from _unbounded(rule, results)
    yield from _shared_wires(rule, results)
    for row in network.fuses if not all(map(ladder, network.fuses_by_kind)) else ():
        if row.fuse.rating is None and not ladder(row.fuse.kind):
            yield rule.finding(results, fuse_subject(row),
                               f"no ratings are on file for a {kind_words(row.fuse.kind)}: none is proposed",
                               fix="enter the rating of the part", fields=(fuse_path(row, "rating"),))
    for number in of_circuits(network, _output_unknown, "ecu"):
        name = network.circuit_ids[number]
        yield rule.finding(results, ("circuit", name), "missing: current limit of the control unit's output",
                           fix="look it up in the control unit's data sheet",
                           fields=(f"circuit.{name}.relay.driver_limit",))
    if plan.battery is None and plan.circuit:
        yield rule.finding(results, ("battery", "battery"), "the battery is not described: an old, small one is "
                                                            "assumed",
                           fields=("battery.capacity", "battery.cold_crank"))
    elif plan.battery is not None and plan.circuit and not (
            plan.battery.cold_crank or plan.battery.internal_resistance):
        yield rule.finding(
            results, ("battery", "battery"),
            "its internal resistance is not known, that of an old, small battery is assumed: a better one drives a "
            "larger short-circuit current than shown here, and cranks better",
            fix="enter the cold-cranking current of its label",
            fields=("battery.cold_crank", "battery.internal_resistance"))
    if plan.alternator is not None and not results.source.alternator_known:
        # A label that cannot be read says so itself: to its owner it is not missing.
        why = "its output is not known" if plan.alternator.label is None else machine_of(plan.alternator).basis
        yield rule.finding(results, ("alternator", "alternator"), f"{why}: charging is not checked",
                           fields=("alternator.rated", "alternator.label"))


def _output_unknown(network: Network, number: int) -> bool | None:
    """Whether a control unit drives the relay of a circuit by an output without a limit; None where none does."""
    relay = network.circuits[number].relay
    return (relay is not None and relay.driver == "ecu" and relay.driver_limit is None) or None


def _unbounded(rule: Rule, results: Results) -> Iterator[Unjudged]:
    """What carries or supplies a current that nothing limits."""
    network, plan = results.network, results.plan
    for consumer in network.unbounded:
        words = unbounded_words(plan, network.consumers.owner[consumer][1])
        if plan.battery is not None:
            yield rule.unjudged(("battery", "battery"), words)
        if plan.alternator is not None:
            yield rule.unjudged(("alternator", "alternator"), words)
        feeds, earths = network.supply.holds(consumer), network.returns.holds(consumer)
        yield from (rule.unjudged(("feed", name), words) for name, node in network.feed_node.items()
                    if name in plan.feed and feeds[node])
        yield from (rule.unjudged(("earth", name), words) for name, node in network.earth_node.items()
                    if name in plan.earth and earths[node])


def _shared_wires(rule: Rule, results: Results) -> Iterator[Finding]:
    for owner, lacking in results.network.missing_shared.items():
        yield rule.finding(results, owner_subject(owner),
                           f"not checked until entered: {', '.join(each.words for each in lacking)}",
                           fields=tuple(f"{owner_path(owner)}.{each.key}" for each in lacking))


RULE = Rule(
    consequence="not_judged",
    title="Figures missing",
    source="common practice, no source",
    caution="Do not power up a circuit whose figures are missing.",
    fix="measure or look up what is missing, and enter it",
    example="fails: a wire without a length; passes: all figures entered",
    find=find,
)
