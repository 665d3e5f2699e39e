"""A circuit that must stop with the key still has supply.

A fuel pump that runs on after a crash pumps fuel onto the road; a heater left on flattens the battery. The feed and the
relay coil's feed are checked; a crash switch in the coil's feed is still needed.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from fuseplan.checks.coil_fuses import coil_feed_words
from fuseplan.checks.cut_offs import also_fed, off_the_wire
from fuseplan.checks.fix import Fix
from fuseplan.checks.other_feeds import carries, suits_lamps_alone, waits_for_itself
from fuseplan.checks.rule import Consequence, Finding, Rule
from fuseplan.checks.rules.dead_when_needed import is_dead
from fuseplan.checks.second_battery import PARTS, joined_while_cranking, parting_keys
from fuseplan.checks.subjects import circuit_path, circuit_subject, owner_words, proposed_words, state_words
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.relays import ADVISED_A
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX, rests_closed
from fuseplan.plan.coils import feeds_for_coils
from fuseplan.plan.model import Circuit
from fuseplan.plan.part_names import to_enter
from fuseplan.plan.roles import must_run, must_stop, role_of, roles
from fuseplan.plan.words import State

STATED = "the plan itself states that it must stop"
FUEL = ("fuel_pump", "diesel_pump", "injection")
LEFT_ON = "What stays live flattens the battery and may start while hands are in it: disconnect the battery before " \
    "you work on it."
"""Beside what moves no fuel."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, joined = results.network, {end.number for end in joined_while_cranking(results)}
    for number in network.marked.get("must", ()):
        circuit = network.circuits[number]
        name = network.circuit_ids[number]
        if circuit.relay is not None and rests_closed(circuit.relay):
            continue  # no feed of the coil fixes that: normally-closed-contact reports it
        role, live = role_of(name, circuit), left_on(results, number)
        if not live:
            continue
        past = not any(_by_its_feed(results, number, state) for state in live)
        further = " and ".join(owner_words(results, ("feed", each)) for each in dict.fromkeys(
            feed for state in live for feed in also_fed(results, number, STATE_INDEX[state])))
        through = f"its wire is also fed from {further}" if past else \
            f"its relay's coil is fed from {owner_words(results, ('feed', circuit.relay.coil_feed))}" \
            if circuit.relay is not None else \
            f"it is fed from {owner_words(results, ('feed', str(circuit.feed)))}"
        yield rule.finding(
            results, circuit_subject(results, number),
            f"it must stop {state_words(live)} but is live then: {through}{proposed_words(name, circuit, live)}",
            consequence=_consequence(circuit), caution=None if role is None or role.word in FUEL else LEFT_ON,
            source=role.source if role is not None and not set(role.must_stop).isdisjoint(live) else STATED,
            fix=off_the_wire(results, number, further) if past else
            Fix(PARTS, parting_keys(name)) if number in joined and "running" not in live else _fix(results, number))


def left_on(results: Results, number: int) -> list[State]:
    """The states in which a circuit must stop and is live all the same."""
    network = results.network
    return [state for state in must_stop(network.circuit_ids[number], network.circuits[number])
            if _by_its_feed(results, number, state) or also_fed(results, number, STATE_INDEX[state])]


def _by_its_feed(results: Results, number: int, state: State) -> bool:
    """Whether what a circuit is fed from is live, or what the coil of its relay is; where neither is stated that is not
    known, and asked for."""
    circuit = results.network.circuits[number]
    return bool(results.network.circuit_live[number, STATE_INDEX[state]]) and (
        circuit.feed is not None or circuit.relay is not None)


def feeds_that_stop(results: Results, number: int, *, on_relay: bool) -> list[str]:
    """The feeds that are dead in each state in which a circuit must stop and live in each in which it must run, for it
    or, `on_relay`, for the coil of its relay; the best first."""
    network, for_coils = results.network, feeds_for_coils(results.plan)
    circuit, called = network.circuits[number], network.circuit_ids[number]
    stop = [STATE_INDEX[state] for state in must_stop(called, circuit)]
    run = [STATE_INDEX[state] for state in _needed(called, circuit)]
    feeds = [name for name, mask in network.feed_live.items() if not mask[stop].any() and mask[run].all()
             and (on_relay or (name not in for_coils and carries(results, number, name)))
             and not waits_for_itself(results, number, name)]
    feeds = [each for each in feeds if not suits_lamps_alone(results, number, each)] or feeds
    return sorted(feeds, key=lambda name: (on_relay and name not in for_coils, -int(network.feed_live[name].sum())))


def _needed(name: str, circuit: Circuit) -> tuple[State, ...]:
    """The states in which it must run: those stated or of its role, else with the engine running."""
    return must_run(name, circuit) or (() if "running" in must_stop(name, circuit) else ("running",))


def _fix(results: Results, number: int) -> Fix:
    """What to feed from a feed that is dead when it must be: its coil, itself, or, where a switch should not carry it,
    that of a relay it gets; a coil through a small fuse where that feed is for more than coils."""
    circuit, name = results.network.circuits[number], results.network.circuit_ids[number]
    has_relay = circuit.relay is not None
    feeds = feeds_that_stop(results, number, on_relay=has_relay)[:4]
    moved = is_dead(results, circuit.feed, _needed(name, circuit))
    by_relay = has_relay or (bool(feeds) and not moved and _asks_relay(results, number))
    fields = tuple(dict.fromkeys(circuit_path(results, number, key) for key in (
        "relay.coil_feed" if by_relay else "feed", "feed")))
    if not feeds:
        needed = _needed(name, circuit)
        return Fix(f"add a feed that is dead {state_words(must_stop(name, circuit))}"
                   f"{f' and live {state_words(needed)}' if needed else ''}, and feed "
                   f"{'the coil' if has_relay else 'it'} from there: no feed of the plan that could carry it is",
                   fields)
    if not by_relay:
        return Fix(f"feed it from {to_enter(results.plan, 'feed', feeds)}", fields)
    words = coil_feed_words(results.plan, feeds)
    return Fix(f"feed the coil from {words}" if has_relay else
               f"fit a relay for it, with its coil fed from {words}; or, if the feed carries its current, feed it from "
               "there", fields)


def _asks_relay(results: Results, number: int) -> bool:
    """Whether a circuit without a relay draws more than is put on a key switch."""
    return results.network.circuits[number].relay is None and \
        not at_most(float(results.switching.load_a[0, number]), ADVISED_A)


def _consequence(circuit: Circuit) -> Consequence:
    """What follows where it stays live: what its stated role says, the worst where it has none."""
    return "keeps_running" if circuit.role is None else cast(Consequence, roles()[circuit.role].left_on)


RULE = Rule(
    consequence="keeps_running",
    title="Live when it must be off",
    source=roles()["fuel_pump"].source,
    caution="Fuel under pressure after a crash feeds a fire. Add a crash switch as well; the key alone is not enough.",
    fix="a feed that is dead in the states it must stop in",
    example="fails: fuel pump relay coil on the permanent bus; passes: on the ignition bus",
    find=find,
)
