"""The load is on whenever the relay coil is off: the contact is normally closed.

A broken coil wire, a blown control fuse or a control unit that has stopped leaves such a load on. A fuel pump must
not be wired so: it must stop when its control fails.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Flags
from fuseplan.checks.contacts import contact_for_feed, contact_to_fit
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject, owner_words, state_words
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.engine.states import rests_closed
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.parts import Relay
from fuseplan.plan.roles import must_stop
from fuseplan.plan.words import STATES


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, feeds = results.network, results.plan.feed
    resting = [name for name, feed in feeds.items() if feed.relay is not None and rests_closed(feed.relay)]
    stops = _must_stop_behind(results) if resting else {}
    for name in resting:
        suits = contact_for_feed(results, name, 1) or contact_for_feed(results, name, 0)
        yield _finding(rule, results, ("feed", name), suits, network.feed_live[name], stops.get(name, []))
    for number, relay in of_circuits(network, _resting, "relay").items():
        circuit, name = network.circuits[number], network.circuit_ids[number]
        yield _finding(rule, results, ("circuit", name), contact_to_fit(results, number, relay),
                       network.circuit_live[number], [name] if must_stop(name, circuit) else [])


def _resting(network: Network, number: int) -> Relay | None:
    """The relay of a circuit that rests closed; None without one."""
    circuit = network.circuits[number]
    relay = circuit.relay if circuit.out_of_scope is None else None
    return relay if relay is not None and rests_closed(relay) else None


def _must_stop_behind(results: Results) -> dict[str, list[str]]:
    """For each feed the circuits behind it, through any feeds between, that must stop in some state."""
    network = results.network
    found: dict[str, list[str]] = {}
    for number in network.marked.get("must", ()):
        circuit = network.circuits[number]
        if not must_stop(network.circuit_ids[number], circuit):
            continue
        for feed in way_to(results.plan, circuit.feed):
            found.setdefault(feed, []).append(network.circuit_ids[number])
    return found


def _finding(rule: Rule, results: Results, subject: Subject, suits: str | None, live: Flags, stops: list[str]
             ) -> Finding:
    """The finding of one relay, with the contact on file that `suits` its load, if any does."""
    states = [STATES[state] for state in np.flatnonzero(live).tolist()]
    what = "what is on it" if subject[0] == "feed" else "it"
    runs = "runs" if subject[0] == "circuit" else "has supply"
    when = f", {state_words(states)}" if 0 < len(states) < len(STATES) else ", in every position of the key" if states \
        else ""
    message = f"{what} {runs} whenever its relay coil is off{when}: its contact is normally closed"
    if stops:
        message += ", and a broken coil wire does not stop it" if subject[0] == "circuit" else \
            ", and a broken coil wire does not stop " \
            f"{', '.join(owner_words(results, ('circuit', each)) for each in stops[:4])}"
    return rule.finding(
        results, subject, message, consequence=None if stops else "good_practice",
        fix=_fix(results, suits, bool(stops)), fields=(f"{subject[0]}.{subject[1]}.relay.contact",))


def _fix(results: Results, suits: str | None, must_stop: bool) -> str:
    named = " rated for its load" if suits is None else f" such as {results.network.stock.relay_words(suits)}"
    words = f"a normally open contact{named}, its coil on to make it run"
    return words if must_stop else f"{words}; leave it if it is meant to run when its coil's supply fails"


RULE = Rule(
    consequence="keeps_running",
    title="Normally closed contact",
    source="common practice, no source",
    caution="Pull the relay's coil wire and check that what must stop does stop; a fuel pump that runs on after a "
            "crash "
            "feeds a fire.",
    fix="a normally open contact",
    example="fails: a fuel pump on a normally closed contact; passes: on a normally open one",
    find=find,
)
