"""A relay can never pull in: its coil is fed from behind its own contact, or has too few volts.

The coil has supply only once the contact is closed, and the contact closes only once the coil has supply. The same goes
for relays that feed each other's coils in a circle. Only a start button across the contact would start it, which a plan
cannot state. The volts are those across the coil with its wires and everything before them, the engine not cranking:
what a relay has while cranking is judged with the rest that must work then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.checks.coil_fuses import coil_feed_words
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import condition_words, owner_subject
from fuseplan.engine.consumers import COIL
from fuseplan.engine.cranking_limits import voltage_limit
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_the_rest
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solved
from fuseplan.engine.states import STATE_INDEX, rests_closed
from fuseplan.plan.coils import feeds_for_coils
from fuseplan.plan.model import Feed
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    feeds = results.plan.feed
    reported: set[str] = set()
    circling = of_the_rest(results.network, _feeds_in_a_circle)
    for name in [each for each in feeds if each in circling] if circling else ():
        if feeds[name].relay is None or name in reported:
            continue
        ring = _ring(feeds, name)
        if not ring:
            continue
        coils = [here for here, ahead in zip(ring, [*ring[1:], name], strict=True) if _coil_feed(feeds, here) == ahead]
        reported.update(coils)
        yield rule.finding(
            results, ("feed", name), _message(results, name, ring, coils), fix=_fix(results, coils),
            fields=tuple(f"feed.{each}.relay.coil_feed" for each in coils))
    yield from _too_few_volts(rule, results)


def _too_few_volts(rule: Rule, results: Results) -> Iterator[Finding]:
    """Coils whose wires lose so much that the relay may not pull in."""
    rows = across_coils(results)
    if not rows.parts.size:
        return
    network, limit = results.network, voltage_limit("relay_pull_in", results.network.system_v)
    for consumer, bound in rows.judged(results).fails:
        across = _in_conditions(results, results.solution, np.array([consumer]))[bound, :, 0]
        row = int(np.nanargmin(across))
        volts = float(across[row])
        kind, name = network.consumers.owner[consumer]
        yield rule.finding(
            results, owner_subject((kind, name)),
            f"its relay's coil has {writing.limit(volts, 'V')} in {condition_words(results, row)}; a relay may need up "
            f"to {writing.burden(limit.value, 'V')} to pull in", figure=volts, figure_side="limit", limit=limit.value,
            unit="V", bound=bound, source=limit.source.line(),
            fix="thicker or shorter coil wires, a better earth, or another feed of the coil",
            fields=(f"{kind}.{name}.relay.wire_86", f"{kind}.{name}.relay.wire_85", f"{kind}.{name}.relay.coil_feed"))


def across_coils(results: Results) -> LimitRows:
    """The lowest voltage across each coil that has a wire of its own, the engine not cranking, against what a relay may
    need to pull in."""
    network, consumers = results.network, results.network.consumers
    coils = np.flatnonzero((consumers.kind == COIL) & np.logical_or(*network.coils_wired))
    return rows_of(lambda: [consumers.owner[coil] for coil in coils.tolist()], coils,
                   voltage_limit("relay_pull_in", network.system_v).value,
                   lambda figures: np.fmin.reduce(_in_conditions(results, figures.solution, coils), axis=1), "limit")


def _in_conditions(results: Results, solution: Solved, coils: Ints) -> Floats:
    """Voltage across coils in each condition in which they may be on, NaN in the others and while cranking (cases, C,
    coils) [V]."""
    network = results.network
    asked = network.consumers.possible[:, coils] & (network.state != STATE_INDEX["crank"])[:, None]
    return np.where(asked, solution.cases.parted(solution.across(coils)), np.nan)


def _coil_feed(feeds: Mapping[str, Feed], name: str) -> str | None:
    relay = feeds[name].relay
    return None if relay is None else relay.coil_feed


def _chatters(feeds: Mapping[str, Feed], coils: list[str]) -> bool:
    """Whether one of the contacts rests closed: then the circle is not dead but has no rest."""
    relays = [feeds[name].relay for name in coils]
    return any(relay is not None and rests_closed(relay) for relay in relays)


def _needs(feeds: Mapping[str, Feed], name: str) -> list[str]:
    """What a feed waits for: the feed it comes from, and its coil's."""
    return [each for each in (feeds[name].upstream, _coil_feed(feeds, name)) if each is not None and each in feeds]


def _feeds_in_a_circle(network: Network) -> set[str]:
    return _circling(network.plan.feed)


def _circling(feeds: Mapping[str, Feed]) -> set[str]:
    """The feeds that may lie in a circle: what waits for nothing is taken off until nothing more comes off, and then
    what nothing waits for. Few plans have any left, so that no way need be searched from every relay."""
    left = {name: _needs(feeds, name) for name in feeds}
    for _ in range(2):
        behind: dict[str, list[str]] = {name: [] for name in left}
        for name, others in left.items():
            for each in others:
                behind[each].append(name)
        open_ends = {name: len(others) for name, others in left.items()}
        ready = [name for name, count in open_ends.items() if not count]
        for name in ready:
            for each in behind[name]:
                open_ends[each] -= 1
                if not open_ends[each]:
                    ready.append(each)
        gone = set(ready)
        left = {name: [each for each in behind[name] if each not in gone] for name in left if name not in gone}
    return set(left)


def _ring(feeds: Mapping[str, Feed], name: str) -> list[str]:
    """The shortest way from a relay's coil back to the feed behind its own contact, beginning with that feed; empty
    where there is none. Each step leads to what the one before it needs: its coil's feed, or the feed it comes from."""
    came_from: dict[str, str] = {}
    coil = _coil_feed(feeds, name)
    ahead = [(coil, name)] if coil is not None else []
    for here, before in ahead:
        if here not in feeds or here in came_from:
            continue
        came_from[here] = before
        if here == name:
            break
        ahead += [(each, here) for each in _needs(feeds, here)]
    if name not in came_from:
        return []
    ring = [came_from[name]]
    while ring[-1] != name:
        ring.append(came_from[ring[-1]])
    return ring[::-1]


def _message(results: Results, name: str, ring: list[str], coils: list[str]) -> str:
    feeds, own = results.plan.feed, in_words(results.plan, "feed", name)
    if _chatters(feeds, coils):
        return (f"the relay of {own} chatters: a normally closed contact is in its coil's own supply, so "
                f"it opens as it pulls in and closes again ({_way(results, [*ring, name])})")
    if len(ring) == 1:
        return f"the relay of {own} can never pull in: its coil is fed from {own}, which its own contact switches"
    way = _way(results, [*ring, name])
    if len(coils) == 1:
        return f"the relay of {own} can never pull in: its coil is fed from behind its own contact ({way})"
    named = ", ".join(in_words(results.plan, "feed", each) for each in coils[:MOST_NAMED])
    named += f" and {len(coils) - MOST_NAMED} more feeds" if len(coils) > MOST_NAMED else ""
    return f"the relays of {named} can never pull in: each coil is fed through the next one's contact ({way})"


MOST_NAMED = 12
"""Of a longer circle the first feeds are named, and how many there are."""


def _way(results: Results, ring: list[str]) -> str:
    """``a → b → a``."""
    names = [in_words(results.plan, "feed", each) for each in ring]
    if len(names) <= MOST_NAMED + 1:
        return " → ".join(names)
    return f"{' → '.join(names[:MOST_NAMED])} → {len(names) - MOST_NAMED - 1} more → {names[-1]}"


def _fix(results: Results, coils: list[str]) -> str:
    """What is live before any of these contacts closes: feeds for coils, the feed ahead of the first contact, and what
    else is live with it."""
    feeds, live = results.plan.feed, results.network.feed_live
    ahead = feeds[coils[0]].upstream
    others = [each for each, mask in live.items() if mask.any() and each != ahead and feeds[each].upstream is not None]
    named = [each for each in (ahead, *others) if each is not None and live[each].any()]
    if not named:
        return "feed the coil from what is live before it: no feed of the plan is, so add one"
    for_coils = feeds_for_coils(results.plan)
    named.sort(key=lambda name: name not in for_coils)
    return f"feed the coil from what is live before it: {coil_feed_words(results.plan, named[:4])}"


RULE = Rule(
    consequence="stops_the_car",
    title="Relay cannot pull in",
    source="common practice, no source",
    caution="Everything fed by this relay is dead, hazard lamps and pumps too; "
            "never bridge the contact to make it start.",
    fix="feed the coil from what is live before it",
    example="fails: the coil of the engine bus relay fed from the engine bus; passes: from the ignition bus",
    find=find,
    resistance=True,
    ambient=True,
    limits=(across_coils,),
)
