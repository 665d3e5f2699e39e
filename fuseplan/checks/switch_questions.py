"""What is asked about switches: their ratings, and what switches a load or a feed of which the plan names nothing that
does; as long as neither switch nor relay is entered, no contact is checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import takewhile
from typing import Literal

import numpy as np

from fuseplan.checks.cut_offs import starting
from fuseplan.checks.isolators import follows_key, hand_switched, supply_isolators
from fuseplan.checks.lamp_switches import behind_switches
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rules.switch_overloaded import switch_words, switches
from fuseplan.checks.shared_switches import SWITCHED, shared_switches
from fuseplan.checks.subjects import circuit_subject, current_known, most_a
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.relays import ADVISED_A, switch_to_fit
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import CircuitRole
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of

SWITCHED_BY = "what switches it: a switch, with its rating, or a relay (switch, relay)"
STAYS_ON: tuple[CircuitRole, ...] = ("other", "comfort", "instruments", "coolant_pump")
"""Roles of circuits that need no switch behind the key, and flatten the battery without one on a permanent feed."""


def switches_asked(results: Results) -> Iterator[NotSaid]:
    """The rating of a switch that carries its load itself, in a circuit, a feed or an earth lead: the one that its
    loads need at the upper bound of how they are known, or what passes it for minutes."""
    switching, known = results.switching, current_known(results)
    for number in np.flatnonzero(switches(results)[1]).tolist():
        name = circuit_subject(results, number)[1]
        yield _switch("circuit", name, float(switching.switch_a[:, number].max()) if known[number] else float("nan"),
                      switch_words(results, number, 1)[1])
    for each in shared_switches(results, results.demands):
        if each.rating_a is None:
            wanted = switch_to_fit(float(each.known_a.max()), float(each.carried_a.max()), each.kinds, each.rated_for)
            asked, lasting = float(each.asked_a.max()), float(each.lasting_a.max())
            if exceeds(lasting, asked):
                asked, wanted = lasting, writing.burden(lasting, "A")
            yield _switch(each.kind, each.name, asked, wanted, float(each.cranking_a.max()))


def _switch(kind: Literal["circuit", "feed", "earth"], name: str, asked_a: float, wanted: str,
            cranking_a: float = 0.0) -> NotSaid:
    needed = f"it needs {wanted}" if np.isfinite(asked_a) else \
        "what it needs is not known either, as a current behind it is not stated"
    starts = not at_most(cranking_a, 0.0)
    if cranking_a > 0.0:
        needed += f", and {writing.burden(cranking_a, 'A')} while the starter turns"
    return NotSaid(kind, name, f"the rating of its switch: {needed}",
                   "lamps draw many times their current when they are switched on, and motors arc when switched off: a "
                   "switch that is too small melts", "switch_rating", f"{kind}.{name}.switch.rating",
                   starts or not at_most(asked_a, ADVISED_A),
                   writing.burden(asked_a, "A") if np.isfinite(asked_a) else "")


def unswitched_asked(results: Results) -> Iterator[NotSaid]:
    """What switches a load that is not always on, and the coil of a relay: as entered it is on whenever its feed is
    live. What a control unit or the part itself switches is not asked. A feed that follows the key with others on it,
    such as an ignition bus behind its relay, switches none of them, nor does a battery isolator."""
    plan, network = results.plan, results.network
    starts = {network.circuit_ids[number] for number in starting(results)}
    switched = _switched(results)
    by_hand = {network.circuit_ids[number] for number in switched}
    for number in sorted(switched.union(_coils_not_driven(results))):
        name, circuit = network.circuit_ids[number], network.circuits[number]
        relay = circuit.relay
        if circuit.switch is not None or (relay is not None and relay.driver is not None):
            continue
        own_feed = circuit.feed if relay is None else relay.coil_feed
        by_itself = all(load.kind == "electronic" for load in circuit.load)
        if name in starts:
            live = network.circuit_live[number].copy()
            live[STATE_INDEX["crank"]] = False
            # A key switch that others share stays on after starting: one of its own is let go.
            if live.any() and not any(_feeds_only(results, each, starts)
                                          for each in _opening_feeds(plan, own_feed)):
                by, key = ("a relay, or a switch of its own (relay, switch)", "switch.rating") if relay is None else \
                    ("what switches its relay's coil (driver)", "relay.driver")
                yield NotSaid("circuit", name, f"what turns the starter and lets go of it: {by}", "as entered it turns "
                              "whenever its feed is live", "start_switch", f"circuit.{name}.{key}", True)
        elif relay is not None:
            yield from _coil_asked(results, "circuit", name, relay,
                                   by_hand if number in switched and not by_itself else None)
        elif not by_itself and not _opened_for(results, own_feed, by_hand):
            yield NotSaid("circuit", name, SWITCHED_BY, "as entered it is on whenever its feed is live, and no "
                          "switch is checked for what it carries", "switched_by", f"circuit.{name}.switch.rating",
                          False)


def _coils_not_driven(results: Results) -> Iterator[int]:
    """Circuits in scope whose relay nothing is stated to switch, by number."""
    network = results.network
    for number in network.marked.get("relay", ()):
        relay = network.circuits[number].relay
        if relay is not None and relay.driver is None and network.circuits[number].out_of_scope is None:
            yield number


def _switched(results: Results) -> set[int]:
    """Circuits that are switched on and off, by number."""
    marked = results.network.marked
    return {number for role in SWITCHED for number in marked.get(f"role {role}", ())}.union(
        number for role in STAYS_ON for number in marked.get(f"role {role}", ()) if _stays_on(results, number))


def _stays_on(results: Results, number: int) -> bool:
    """Whether a circuit is live with the key off and has a load that is not always on nor switches itself, as
    electronics do, and in the role comfort the motors of locks, aerials and windows."""
    network = results.network
    circuit = network.circuits[number]
    by_itself = ("electronic", "motor") if circuit.role == "comfort" else ("electronic",)
    return bool(network.circuit_live[number, STATE_INDEX["off"]]) and any(
        load.kind not in by_itself and "always" not in load.when for load in circuit.load)


def on_if_unswitched(results: Results, asked: Iterable[NotSaid], condition: int) -> list[NotSaid]:
    """Those of the questions asked that ask what switches a part which is live in a condition: as entered it may be on
    then, whatever its loads say of when."""
    network, state = results.network, results.network.state[condition]
    live = {"circuit": dict(zip(network.circuit_ids, network.circuit_live, strict=True)), "feed": network.feed_live}
    return [each for each in asked if each.kind in ("switched_by", "driver")
            and live[each.subject_kind][each.subject][state]]


def _opening_feeds(plan: Plan, feed: str | None) -> list[str]:
    """Feeds with a switch or a relay on the way to a feed, itself included."""
    return [each for each in way_to(plan, feed)
            if plan.feed[each].switch is not None or plan.feed[each].relay is not None]


def _switching_feeds(results: Results, feed: str | None) -> list[str]:
    """Those without battery isolators, which the starter is behind or of which the plan says what else they open: they
    switch the car, and no part of it."""
    plan, network = results.plan, results.network
    starters = [network.circuits[number].feed for number in network.marked.get("role starter", ())]
    isolators = {*supply_isolators(plan), *(each for starter in starters for each in way_to(plan, starter))}
    return [each for each in _opening_feeds(plan, feed) if each not in isolators]


def _opened_for(results: Results, feed: str | None, circuits: set[str], besides: str = "") -> bool:
    """Whether a feed is switched by hand, or by what switches nothing but these circuits."""
    return any(hand_switched(results.plan, results.network.feed_live, each) or _feeds_only(results, each, circuits)
               for each in _switching_feeds(results, feed) if each != besides)


def _coil_asked(results: Results, kind: Literal["circuit", "feed"], name: str, relay: Relay, by_hand: set[str] | None
                ) -> Iterator[NotSaid]:
    """What switches the coil of a relay; nothing where its feed is switched or asked what does that. The relay of
    circuits that are switched on and off must not close with the key alone; another, such as that of an ignition bus,
    may."""
    besides = name if kind == "feed" else ""
    if relay.driver is None and (
            not _opened_for(results, relay.coil_feed, by_hand, besides) if by_hand is not None else
            results.network.feed_live[relay.coil_feed].all()
            and all(each == besides for each in _switching_feeds(results, relay.coil_feed))):
        yield NotSaid(kind, name, "what switches its relay's coil: a switch or a control unit (driver)",
                      "as entered the relay is closed whenever the feed of its coil is live", "driver",
                      f"{kind}.{name}.relay.driver", False)


def _feeds_only(results: Results, feed: str, circuits: set[str]) -> bool:
    """Whether nothing but these circuits, and the coils of their relays, comes from a feed."""
    return all(results.network.circuit_ids[number] in circuits or feed not in needed
               for number, needed in of_circuits(results.network, _needed).items())


def _needed(network: Network, number: int) -> set[str]:
    """The feeds that must be live for a circuit to be: those on its way, and on that to the coils of its relays."""
    plan, circuit = network.plan, network.circuits[number]
    needed = set(way_to(plan, circuit.feed))
    relays = (circuit.relay, *(plan.feed[each].relay for each in needed))
    for coil_feed in {relay.coil_feed for relay in relays if relay is not None}:
        # From a feed that is among them on, all are.
        needed.update(takewhile(lambda each: each not in needed, way_to(plan, coil_feed)))
    return needed


def _switches_itself(results: Results, feed: str, by_hand: set[str]) -> bool:
    """Whether the relay of a feed is what switches circuits: they alone come from it, one of them without a switch or
    relay of its own."""
    plan = results.plan
    return _feeds_only(results, feed, by_hand) and any(
        circuit.switch is None and circuit.relay is None and any(load.kind != "electronic" for load in circuit.load)
        and feed in way_to(plan, circuit.feed) for circuit in plan.circuit.values())


def unswitched_feeds_asked(results: Results) -> Iterator[NotSaid]:
    """The switch or relay of each feed that is live in fewer states than the one it comes from, and what switches the
    coil of a feed's relay."""
    network = results.network
    by_hand = {network.circuit_ids[number] for number in _switched(results)}
    for name, feed in results.plan.feed.items():
        if feed.relay is not None:
            yield from _coil_asked(results, "feed", name, feed.relay,
                                   by_hand if _switches_itself(results, name, by_hand) else None)
        if feed.live is None or feed.upstream is None or feed.relay is not None or feed.switch is not None:
            continue
        if not follows_key(results.plan, network.feed_live, name):
            continue
        load_a = most_a(results, "feed", name)
        handed_out = f"the {writing.burden(load_a, 'A')} it hands out" if np.isfinite(load_a) else \
            "what it hands out, to which no limit is known"
        yield NotSaid(
            "feed", name, SWITCHED_BY,
            f"nothing between it and {in_words(results.plan, 'feed', feed.upstream)} opens as entered, and no contact "
            f"is checked for {handed_out}", "feed_switch",
            f"feed.{name}.switch.rating", not at_most(load_a, ADVISED_A))


def closed_when_asked(results: Results) -> Iterator[NotSaid]:
    """When the switch of a feed is closed that horn, stop lamps, hazard lamps or indicators are behind, where it is not
    plain that it is the light switch."""
    found: dict[str, list[str]] = {}
    for each in behind_switches(results):
        if not each.lamps:
            found.setdefault(each.feed, []).append(
                in_words(results.plan, "circuit", results.network.circuit_ids[each.number]))
    for feed, behind in found.items():
        yield NotSaid("feed", feed, f"when its switch is closed (live): {all_of(behind)} "
                      f"{'is' if len(behind) == 1 else 'are'} behind it", "as entered it counts as closed always; with "
                      "it open they are dead when they are needed, as behind a light switch with the lamps off",
                      "feed_live", f"feed.{feed}.live", False)
