"""A feed that is switched off stays live through a lamp, a coil or a shared wire.

A warning lamp between two feeds lights the wrong way round and supplies whatever is on the dead one. The classic case
is the charge lamp: with the key off, the turning alternator supplies the ignition through it, and the engine runs on.
A diode in the wire lets current pass one way only.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import keeping_it_running
from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.checks.subjects import owner_words, state_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.backfeed import MACHINE, Held, Join, joins_of
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.part_names import load_in_words
from fuseplan.quantities import writing

LETS_GO = 0.10
"""A relay may hold until its coil has less than this share of its voltage: the release voltage relay makers print.
From memory."""
WORKS = 0.50
"""Electronics, motors, ignition coils may work from this share of their voltage up. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    least_v, works_v = LETS_GO * results.network.system_v, WORKS * results.network.system_v
    reported: dict[tuple[str, str, str], list[Join]] = {}
    for join in joins_of(results):
        reported.setdefault((join.circuit, join.source[1], join.dead), []).append(join)
    for (circuit, _, dead), joins in reported.items():
        worst = max(joins, key=lambda join: join.dead_v)
        held, working = (each if exceeds(worst.dead_v, least) else () for each, least in (
            (worst.holds, least_v), (worst.feeds, works_v)))
        alive = sorted((*held, *working), key=lambda each: not _keeps_running(results, each))
        states = state_words(dict.fromkeys(join.state for join in joins))
        own, at = owner_words(results, ("circuit", circuit)), owner_words(results, ("feed", dead))
        ring = "away from" if results.plan.vehicle.earthed == "negative" else "towards"
        source = owner_words(results, worst.source)
        if worst.source == MACHINE:
            source = source.replace("the ", "the turning ", 1)
        stays = f"; {_held_words(results, alive)} may stay on" if alive else \
            f", too little to hold a relay in ({writing.limit(least_v, 'V')})" if worst.holds else \
            ", and no load there works on so little" if worst.feeds else ", and nothing there runs on it"
        yield rule.finding(
            results, ("circuit", circuit),
            f"{states}, {source} reaches {at} through {_through(results, worst)}: up to "
            f"{writing.burden(worst.dead_v, 'V')} stays on "
            f"it{stays}", figure=worst.dead_v, limit=least_v if held else works_v if working else None, unit="V",
            consequence=_consequence(results, alive),
            fix=f"a diode in the wire of {own} where it meets {at}, its ring (cathode) {ring} {at}, rated for twice "
                   "the current; and state `diode = true` in the plan",
            fields=(f"circuit.{circuit}.diode", f"circuit.{circuit}.feed"))


def _held_words(results: Results, alive: list[Held]) -> str:
    first = owner_words(results, alive[0].owner)
    return ("the relay of " if alive[0].is_relay else "") + first + (" and more" if len(alive) > 1 else "")


def _consequence(results: Results, alive: list[Held]) -> Consequence:
    """What follows from what stays on, worst first: a pump or the engine that runs on, or something else."""
    if alive and _keeps_running(results, alive[0]):
        return "keeps_running"
    return "fails_in_use" if alive else "good_practice"


def _keeps_running(results: Results, held: Held) -> bool:
    """Whether a pump or the engine runs on with what stays on: one of their circuits, or the relay of a feed before
    it."""
    kind, name = held.owner
    network = results.network
    return any(name in way_to(results.plan, network.circuits[number].feed) if kind == "feed" else
               name == network.circuit_ids[number] for number in keeping_it_running(results))


def _through(results: Results, join: Join) -> str:
    words = []
    for step in join.path:
        if step.load is not None:
            words.append(f"{load_in_words(results.plan.circuit[step.circuit], step.load)} of "
                         f"{owner_words(results, ('circuit', step.circuit))}")
    return " and ".join(words) or f"the shared wire of {owner_words(results, ('circuit', join.circuit))}"


RULE = Rule(
    consequence="keeps_running",
    title="Back-feed",
    source="charge lamp that keeps the ignition live, fixed with a series diode: an owners' forum and a builder's "
           "reference page; common practice otherwise, no source",
    caution="An engine that does not stop with the key, or a pump that runs on, can kill after a crash: test that "
            "everything goes off.",
    fix="a diode",
    example="fails: a warning lamp between the ignition bus and a permanent bus; passes: the same lamp with a series "
            "diode",
    find=find,
)
