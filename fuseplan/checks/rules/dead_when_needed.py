"""A circuit has no supply in a key position in which the plan says it must run.

Control unit, ignition, injectors and fuel pump on an accessory feed have no supply while cranking: the engine turns
but starts only when the key is let go, or not at all. Horn, stop lamps, hazard lamps and indicators behind the light
switch work only with the lamps on.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

from fuseplan.checks.coil_fuses import coil_feed_words
from fuseplan.checks.fix import Fix
from fuseplan.checks.lamp_switches import BehindSwitch, behind_switches
from fuseplan.checks.other_feeds import (
    carries,
    may_be_switched_off,
    suits_lamps_alone,
    unstated_switches,
    waits_for_itself,
)
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, proposed_words, state_words
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX, rests_closed
from fuseplan.plan.coils import feeds_for_coils
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.part_names import in_words, to_enter
from fuseplan.plan.roles import must_run, must_stop
from fuseplan.plan.words import STATES, State
from fuseplan.quantities.listing import all_of


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, plan = results.network, results.plan
    must = network.marked.get("must", ())
    for_coils = feeds_for_coils(plan) if must else set()
    dark = {each.number: each for each in behind_switches(results) if each.lamps}
    missing = dead_states(results)
    shared = mended_together(results, missing)
    for number, dead in missing.items():
        circuit = network.circuits[number]
        needed = must_run(network.circuit_ids[number], circuit)
        if not dead:
            if number in dark:
                yield _dark(rule, results, number, dark[number], needed, for_coils)
            continue
        coil = _coil_feed(circuit)
        feed_dead, coil_dead = (is_dead(results, each, dead) for each in (circuit.feed, coil))
        feeds = _feeds(results, needed, for_coils, number, feed_dead)
        part = f"its feed {in_words(plan, 'feed', circuit.feed or '')}" if feed_dead else \
            f"the coil of its relay, fed from {in_words(plan, 'feed', coil or '')},"
        what = "the coil of its relay" if not feed_dead else "it, and the coil of its relay," if coil_dead else "it"
        paths = [circuit_path(results, number, "feed"), circuit_path(results, number, "relay.coil_feed")]
        fix = mended_with(results, circuit, dead, shared) or Fix(
            f"take {what} from a feed that is live whenever it must run: "
            f"{to_enter(plan, 'feed', feeds[:4]) if feed_dead else coil_feed_words(plan, feeds[:4])}"
            if feeds else "no feed of the plan is live in all the states it must run in: add one", ())
        yield rule.finding(
            results, circuit_subject(results, number), f"it must run {state_words(dead)}, but then {part} is dead"
            f"{proposed_words(network.circuit_ids[number], circuit, dead)}",
            fix=fix, fields=(*fix.fields, *(paths if feed_dead else reversed(paths))))


def dead_states(results: Results) -> dict[int, list[State]]:
    """The states in which circuits must run and have no supply; those of which anything is asked."""
    network = results.network
    return {number: [state for state in must_run(network.circuit_ids[number], network.circuits[number])
                     if not network.circuit_live[number, STATE_INDEX[state]]]
            for number in network.marked.get("must", ())}


def mended_together(results: Results, missing: Mapping[int, Sequence[State]]) -> dict[str, tuple[Fix, list[State]]]:
    """What mends several circuits at once, by the states in which they are dead: the relay of a feed behind which most
    that must run then are dead; by that feed, with those states. One alone is on the wrong feed, and so are several
    where another must stop then."""
    network, plan = results.network, results.plan
    behind: dict[str, list[int]] = {}
    for number, dead in missing.items():
        relay = _dead_relay(results, network.circuits[number], dead) if dead else None
        if relay is not None:
            behind.setdefault(relay, []).append(number)
    found = dict[str, tuple[Fix, list[State]]]()
    for name, numbers in behind.items():
        states = [state for state in STATES if any(state in missing[number] for number in numbers)]
        fed = [number for number in missing if name in _ways(plan, network.circuits[number])]
        stopped = any(set(must_stop(network.circuit_ids[number], network.circuits[number])).intersection(states)
                      for number in fed)
        if len(numbers) > 1 and 2 * len(numbers) > len(fed) and not stopped:
            found[name] = _relay_fix(results, name, states, fed), states
    return found


def mended_with(results: Results, circuit: Circuit, dead: Collection[str],
                together: Mapping[str, tuple[Fix, Sequence[State]]]) -> Fix | None:
    """What mends a circuit that is dead in some states with others, as `mended_together` has it."""
    fix, states = together.get(_dead_relay(results, circuit, dead) or "", (None, ()))
    return fix if set(dead).issubset(states) else None


def _dead_relay(results: Results, circuit: Circuit, dead: Collection[str]) -> str | None:
    """The feed whose relay leaves a circuit dead in some states."""
    feeds = results.plan.feed
    return next((name for name in _ways(results.plan, circuit) if feeds[name].relay is not None
                 and is_dead(results, name, dead) and not is_dead(results, feeds[name].upstream, dead)), None)


def _ways(plan: Plan, circuit: Circuit) -> list[str]:
    """Feeds on the way to a circuit, and to the coil of its relay where that must be live."""
    return [*way_to(plan, circuit.feed), *way_to(plan, _coil_feed(circuit))]


def _coil_feed(circuit: Circuit) -> str | None:
    return circuit.relay.coil_feed if circuit.relay is not None and not rests_closed(circuit.relay) else None


def _relay_fix(results: Results, name: str, states: Sequence[State], fed: Sequence[int]) -> Fix:
    """Another feed for the coil of a feed's relay, with which what is `fed` runs and stops when it must, or what the
    plan states of when that feed is live."""
    plan, relay, live = results.plan, results.plan.feed[name].relay, results.network.feed_live
    coil = None if relay is None else relay.coil_feed
    own = in_words(plan, "feed", name)
    if not is_dead(results, coil, states):
        return Fix(f"correct when {own} is live (live): most of what is on it must run {state_words(states)}",
                   (f"feed.{name}.live",))
    for_coils = feeds_for_coils(plan)
    run, stop = ({state for number in fed for state in of(results.network.circuit_ids[number],
                                                          results.network.circuits[number])}
                 for of in (must_run, must_stop))
    stated = plan.feed[name].live
    if relay is not None and relay.driver is not None and stated is not None:
        # In the other states what switches the coil opens it, whatever feeds it.
        stop &= set(stated)
    feeds = [each for each in live if plan.feed[each].upstream is not None and name not in way_to(plan, each)
             and not is_dead(results, each, run) and not any(live[each][STATE_INDEX[state]] for state in stop)
             and not may_be_switched_off(results, each)]
    feeds.sort(key=lambda each: (each not in for_coils, bool(live[each][STATE_INDEX["off"]])))
    return Fix(f"feed the coil of the relay of {own} from what is live then: {coil_feed_words(plan, feeds[:4])}"
               if feeds else f"feed the coil of the relay of {own} from what is live then: no feed of the plan is, so "
               "add one", (f"feed.{name}.relay.coil_feed",))


def is_dead(results: Results, feed: str | None, states: Collection[str]) -> bool:
    """Whether a feed has no supply in one of some states."""
    live = results.network.feed_live.get(feed or "")
    return live is not None and any(not live[STATE_INDEX[state]] for state in states)


def _dark(rule: Rule, results: Results, number: int, at: BehindSwitch, needed: Collection[str],
          for_coils: Collection[str]) -> Finding:
    """The finding of a circuit behind the light switch."""
    plan, network = results.plan, results.network
    name, circuit = network.circuit_ids[number], network.circuits[number]
    on_feed = at.feed in unstated_switches(plan, circuit.feed)
    feeds = [each for each in _feeds(results, needed, for_coils, number, on_feed)
             if at.feed not in unstated_switches(plan, each)]
    part, where = ("it", "feed") if on_feed else ("the coil of its relay", "relay.coil_feed")
    lamps = all_of([in_words(plan, "circuit", network.circuit_ids[each]) for each in at.lamps[:2]])
    return rule.finding(
        results, circuit_subject(results, number),
        f"it must run {state_words(needed)}, but {part} is behind the switch of {in_words(plan, 'feed', at.feed)}, "
        f"which also switches {lamps}: with the lamps off it is dead{proposed_words(name, circuit, needed)}",
        fix=f"take {part} from a feed that is live with the lamps off: {to_enter(plan, 'feed', feeds[:4])}"
        if feeds else "no feed of the plan is live with the lamps off in all the states it must run in: add one",
        source="common practice, no source", caution="Try it with the lamps off before the car is driven.",
        fields=(circuit_path(results, number, where),))


def _feeds(results: Results, needed: Collection[str], for_coils: Collection[str], number: int, whole: bool
           ) -> list[str]:
    """Feeds that are live in some states and carry a `whole` circuit, or else the coil of its relay: those alone that
    suit best where any do."""
    plan, live = results.plan, results.network.feed_live
    suits: tuple[Callable[[str], bool], ...] = (
        # The root is live in every state and hands out nothing but the main fuse's current.
        lambda name: plan.feed[name].upstream is not None,
        # What may go off with the key is not put on a feed that stays live: nothing would stop it.
        lambda name: "off" in needed or not live[name][STATE_INDEX["off"]],
        lambda name: not may_be_switched_off(results, name),
        lambda name: not suits_lamps_alone(results, number, name),
        lambda name: (name in for_coils) != whole)
    found = [name for name, states in live.items() if states[[STATE_INDEX[state] for state in needed]].all()
             and (not whole or carries(results, number, name)) and not waits_for_itself(results, number, name)]
    for suit in suits:
        found = [name for name in found if suit(name)] or found
    return found


RULE = Rule(
    consequence="stops_the_car",
    title="Dead when needed",
    source="terminal 15 is live with the ignition on and through cranking: DIN 72552 as quoted on a technical page; "
           "accessory feeds are dead while cranking: a sheet of workshop tips",
    caution="Measure each feed with the key held in the crank position, with fuel and ignition disabled, before "
            "trusting it.",
    fix="a feed that is live in all states it must run in",
    example="fails: a control unit that must run while cranking, on the accessory feed; passes: on the ignition feed",
    find=find,
)
