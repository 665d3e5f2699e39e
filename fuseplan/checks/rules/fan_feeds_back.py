"""A radiator fan that coasts keeps the ignition live.

A fan motor that turns is a generator. Joined to the ignition feed when the key is switched off, it holds up that feed
for as long as it turns, on the road for as long as the car moves: ignition, pump and relays stay on with it. On a
permanent feed, or behind a relay whose coil goes dead with the key, it cannot.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.cut_offs import keeping_it_running, starting
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, owner_words, proposed_words
from fuseplan.engine.results import Results
from fuseplan.engine.states import ALWAYS, STATE_INDEX, relay_fed, rests_closed
from fuseplan.plan.parts import Relay

MOVE = "take the fan from a permanent feed through a relay with its coil on the ignition"
DIODE = "fit a diode in its wire and state it (`diode = true`)"


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    off = STATE_INDEX["off"]
    for number in network.marked.get("role cooling_fan", ()):
        circuit, name = network.circuits[number], network.circuit_ids[number]
        feed = circuit.feed
        if feed not in network.feed_live or network.feed_live[feed][off] or circuit.diode \
                or not any(load.kind in ("motor", None) for load in circuit.load):
            continue
        group = _joined(results, feed)
        if not _closed(results, circuit.relay, group):
            continue
        # The start contact, not the ignition, lets go of the starter.
        alive = [network.circuit_ids[each] for each in keeping_it_running(results)
                 if each != number and each not in starting(results) and _kept(results, each, group)]
        if alive:
            keys = [circuit_path(results, number, key) for key in ("feed", "relay.coil_feed", "diode")]
            if circuit.also_from:  # the diode that keeps its two feeds apart holds back what it generates, too
                keys.insert(0, keys.pop())
            kept = ", ".join(owner_words(results, ("circuit", each)) for each in alive)
            yield rule.finding(
                results, circuit_subject(results, number),
                f"while it coasts it feeds {owner_words(results, ('feed', feed))}, and with it {kept}: they stay on "
                f"after the key is switched off{proposed_words(name, circuit)}",
                fix="; or ".join((DIODE, MOVE) if circuit.also_from else (MOVE, DIODE)), fields=tuple(keys))


def _joined(results: Results, feed: str) -> set[str]:
    """The feeds that are joined to one which the key switches off, through nothing that opens with the key: those it
    supplies and those it comes from, where they are live in the same states or behind a relay that is held; and those
    that a relay takes from a permanent feed, whose coil they hold."""
    live, off = results.network.feed_live, STATE_INDEX["off"]
    group, before = {feed}, set[str]()
    while group != before:
        before = set(group)
        for name, part in results.plan.feed.items():
            above = part.upstream
            if above is None:
                continue
            if live[above][off]:
                if part.relay is not None and not rests_closed(part.relay) and part.relay.coil_feed in group:
                    group.add(name)
            elif (name in group) != (above in group):
                same = part.relay is not None or bool((live[name] == live[above]).all())
                if same and _closed(results, part.relay, {*group, name, above}):
                    group |= {name, above}
    return group


def _closed(results: Results, relay: Relay | None, group: set[str]) -> bool:
    """Whether there is a way through while these feeds are held up: a relay that they hold, that is fed with the key
    off too or that rests closed, or none."""
    return bool(relay_fed(relay, results.network.feed_live)[STATE_INDEX["off"]]) or \
        (relay is not None and relay.coil_feed in group)


def _kept(results: Results, number: int, group: set[str]) -> bool:
    """Whether a circuit stays on while these feeds are held up: it is fed from one of them, or past its relay by a
    further one, or that relay is held by one of them."""
    circuit, live = results.network.circuits[number], results.network.feed_live
    if not group.isdisjoint(circuit.also_from):
        return True
    if circuit.feed in group:
        return _closed(results, circuit.relay, group)
    return circuit.relay is not None and not rests_closed(circuit.relay) and circuit.relay.coil_feed in group \
        and bool(live.get(circuit.feed or "", ALWAYS)[STATE_INDEX["off"]])


RULE = Rule(
    consequence="keeps_running",
    title="Fan feeds back",
    source="common practice, no source",
    caution="With the engine running and the fan at full speed, switch the key off: the engine must stop at once.",
    fix=f"{MOVE}; or {DIODE}",
    example="fails: a radiator fan on the ignition bus beside the ignition coils; passes: on the permanent bus through "
            "a relay",
    find=find,
)
